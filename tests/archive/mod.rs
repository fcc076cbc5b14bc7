//! A 3MF file round a model: a ZIP archive of one entry.

use miniz_oxide::deflate::compress_to_vec;

/// A ZIP archive of one model.
pub(crate) fn archive(model: &[u8], is_packed: bool) -> Vec<u8> {
    let name = b"3D/3dmodel.model";
    let body = if is_packed { compress_to_vec(model, 6) } else { model.to_vec() };
    let method: u16 = if is_packed { 8 } else { 0 };
    let length = |bytes: &[u8]| u32::try_from(bytes.len()).expect("small").to_le_bytes();
    let mut common = [20_u16, 0, method, 0, 0].map(u16::to_le_bytes).concat();
    common.extend(crc32fast::hash(model).to_le_bytes());
    common.extend([length(&body), length(model)].concat());
    common.extend(u16::try_from(name.len()).expect("small").to_le_bytes());
    common.extend([0; 2]);
    let mut bytes = [&b"PK\x03\x04"[..], &common, name, &body].concat();
    let table = bytes.len();
    bytes.extend([&b"PK\x01\x02\x14\0"[..], &common, &[0; 14], name].concat());
    let table_len = length(&bytes[table..]);
    bytes.extend(b"PK\x05\x06\0\0\0\0\x01\0\x01\0");
    bytes.extend([table_len, u32::try_from(table).expect("small").to_le_bytes()].concat());
    bytes.extend([0; 2]);
    bytes
}
