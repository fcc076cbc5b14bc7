//! Foreign files for tests of the page: drawings, meshes and photographs, written here byte by byte.

#![allow(dead_code, reason = "each test that shares this file needs a part of it")]

use std::path::{Path, PathBuf};

use miniz_oxide::deflate::{compress_to_vec, compress_to_vec_zlib};

/// A folder of scratch files, removed when dropped.
#[derive(Debug)]
pub(crate) struct Files(PathBuf);

impl Files {
    /// An empty folder for a test.
    pub(crate) fn new(test: &str) -> Self {
        let folder = std::env::temp_dir().join(format!("onepull-{test}-{}", std::process::id()));
        std::fs::create_dir_all(&folder).expect("a scratch folder");
        Self(folder)
    }

    /// Writes a file and says where it is.
    pub(crate) fn write(&self, name: &str, bytes: impl AsRef<[u8]>) -> PathBuf {
        let file = self.0.join(name);
        std::fs::write(&file, bytes).expect("a scratch file");
        file
    }

    /// The folder.
    pub(crate) fn path(&self) -> &Path {
        &self.0
    }
}

impl Drop for Files {
    fn drop(&mut self) {
        // The system's own clearing takes what a browser still holds.
        _ = std::fs::remove_dir_all(&self.0);
    }
}

/// Two clam halves of 80 x 80 units, the second with a hole, and a line and a word that make no outline; no unit.
pub(crate) const CLAMS: &str = r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 200 100">
<path id="Clam left" d="M10 50c0-30 20-40 40-40s40 10 40 40-30 40-40 40-40-20-40-40z"/>
<g transform="translate(100 0)"><path id="Clam right" d="M10 50c0-30 20-40 40-40s40 10 40 40-30 40-40 40-40-20-40-40z"/>
<circle cx="50" cy="50" r="8"/></g>
<text x="3" y="3">pair</text><path fill="none" stroke="black" d="M1 1L5 5L9 1"/></svg>"#;

/// A disc of 25 units across in a drawing that says it is in inches.
pub(crate) const DISC: &str = "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n1\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n\
     0\nCIRCLE\n8\nshell\n10\n5\n20\n5\n40\n1.25\n0\nENDSEC\n0\nEOF\n";

/// The corners and the triangles of a block.
fn block([x, y, z]: [f64; 3]) -> (Vec<[f64; 3]>, Vec<[usize; 3]>) {
    let corner = |at: usize| {
        let along = |bit: usize, side: f64| if at & bit > 0 { side } else { 0.0 };
        [along(1, x), along(2, y), along(4, z)]
    };
    let faces =
        [[0, 2, 3, 1], [4, 5, 7, 6], [0, 1, 5, 4], [2, 6, 7, 3], [0, 4, 6, 2], [1, 3, 7, 5]];
    let triangles = faces.iter().flat_map(|&[a, b, c, d]| [[a, b, c], [a, c, d]]).collect();
    ((0..8).map(corner).collect(), triangles)
}

/// A block as OBJ.
pub(crate) fn block_obj(sides: [f64; 3]) -> String {
    let (corners, triangles) = block(sides);
    let corners: String = corners.iter().map(|[x, y, z]| format!("v {x} {y} {z}\n")).collect();
    let face = |[a, b, c]: &[usize; 3]| format!("f {} {} {}\n", a + 1, b + 1, c + 1);
    let faces: String = triangles.iter().map(face).collect();
    format!("{corners}{faces}")
}

/// A block as 3MF in millimetres.
pub(crate) fn block_3mf(sides: [f64; 3]) -> Vec<u8> {
    let (corners, triangles) = block(sides);
    let corner = |[x, y, z]: &[f64; 3]| format!("<vertex x=\"{x}\" y=\"{y}\" z=\"{z}\"/>");
    let triangle = |[a, b, c]: &[usize; 3]| format!("<triangle v1=\"{a}\" v2=\"{b}\" v3=\"{c}\"/>");
    let model = format!(
        "<model unit=\"millimeter\" xmlns=\"http://www.w3.org/2000/3mf\"><resources><object id=\"1\" type=\"model\"><mesh>\
         <vertices>{}</vertices><triangles>{}</triangles></mesh></object></resources>\
         <build><item objectid=\"1\"/></build></model>",
        corners.iter().map(corner).collect::<String>(),
        triangles.iter().map(triangle).collect::<String>()
    );
    zip("3D/3dmodel.model", model.as_bytes())
}

/// An archive of one packed file (PKWARE's APPNOTE.TXT, sections 4.3.7, 4.3.12 and 4.3.16).
fn zip(name: &str, content: &[u8]) -> Vec<u8> {
    let packed = compress_to_vec(content, 6);
    let long = |length: usize| u32::try_from(length).expect("a small file").to_le_bytes();
    let short = |length: usize| u16::try_from(length).expect("a short name").to_le_bytes();
    let mut common = vec![20, 0, 0, 0, 8, 0, 0, 0, 0, 0];
    common.extend(crc32fast::hash(content).to_le_bytes());
    common.extend([long(packed.len()), long(content.len())].concat());
    common.extend([short(name.len()), [0, 0]].concat());
    let mut bytes = [&b"PK\x03\x04"[..], &common, name.as_bytes(), &packed].concat();
    let directory = bytes.len();
    bytes.extend([&b"PK\x01\x02\x14\0"[..], &common, &[0; 14], name.as_bytes()].concat());
    let size = bytes.len() - directory;
    bytes.extend(b"PK\x05\x06\0\0\0\0\x01\0\x01\0");
    bytes.extend([long(size), long(directory)].concat());
    bytes.extend([0, 0]);
    bytes
}

/// A dome of about `2 n * 2 n` triangles over 120 x 90, 40 tall, on a floor, as binary STL.
#[expect(clippy::cast_possible_truncation, reason = "the form holds single precision")]
pub(crate) fn dome_stl(n: u32) -> Vec<u8> {
    let corner = |row: u32, step: u32| -> [f32; 3] {
        let out = 1.0 - f64::from(row) / f64::from(n);
        let turn = std::f64::consts::TAU * f64::from(step % (2 * n)) / f64::from(2 * n);
        let (sin, cos) = libm::sincos(turn);
        [60.0 * out * cos, 45.0 * out * sin, 40.0 * (1.0 - out * out).sqrt()].map(|v| v as f32)
    };
    let mut triangles: Vec<[[f32; 3]; 3]> = Vec::new();
    for row in 0..n {
        for step in 0..2 * n {
            let [a, b] = [corner(row, step), corner(row, step + 1)];
            let [c, d] = [corner(row + 1, step), corner(row + 1, step + 1)];
            triangles.extend([[a, b, d], [a, d, c]]);
        }
    }
    for step in 0..2 * n {
        triangles.push([[0.0; 3], corner(0, step + 1), corner(0, step)]);
    }
    let mut bytes = vec![b' '; 80];
    bytes.extend(u32::try_from(triangles.len()).expect("a count").to_le_bytes());
    for triangle in triangles {
        bytes.extend([0; 12]);
        bytes.extend(triangle.iter().flatten().flat_map(|value| value.to_le_bytes()));
        bytes.extend([0; 2]);
    }
    bytes
}

/// A photograph of a sheet on a dark bench, in grey.
#[derive(Debug)]
pub(crate) struct Photograph {
    /// Pixels in a row.
    pub(crate) width: u32,
    /// How many rows.
    pub(crate) height: u32,
    /// The brightness of every pixel, row by row.
    pub(crate) grey: Vec<u8>,
    /// The corners of the sheet: top left, top right, bottom right, bottom left.
    pub(crate) corners: [[f64; 2]; 4],
}

/// The map that takes the unit square to four places.
///
/// **Source:** Heckbert, Fundamentals of Texture Mapping and Image Warping, 1989, section 2.2.3 (from memory).
fn square_to([p, q, r, s]: [[f64; 2]; 4]) -> impl Fn(f64, f64) -> [f64; 2] {
    let [dx1, dy1] = [q[0] - r[0], q[1] - r[1]];
    let [dx2, dy2] = [s[0] - r[0], s[1] - r[1]];
    let [sx, sy] = [0, 1].map(|k| p[k] - q[k] + r[k] - s[k]);
    let below = dx1 * dy2 - dx2 * dy1;
    let (g, h) = ((sx * dy2 - dx2 * sy) / below, (dx1 * sy - sx * dy1) / below);
    move |u, v| {
        let w = g * u + h * v + 1.0;
        [0, 1].map(|k| {
            let (a, b) = (q[k] - p[k] + g * q[k], s[k] - p[k] + h * s[k]);
            (a * u + b * v + p[k]) / w
        })
    }
}

impl Photograph {
    /// An A4 sheet that lies across, tilted from the camera, with a disc of 70 mm in its middle, a small one of 24 mm to
    /// the lower right, and the shadow of the large one when asked for. `scale` 1 is 800 x 600.
    pub(crate) fn new(scale: u32) -> Self {
        let (width, height) = (800 * scale, 600 * scale);
        let corners = [[90.0, 70.0], [705.0, 84.0], [745.0, 545.0], [52.0, 528.0]]
            .map(|corner| corner.map(|value: f64| value * f64::from(scale)));
        let mut photograph =
            Self { width, height, grey: vec![80; (width * height) as usize], corners };
        photograph.draw();
        photograph
    }

    /// Goes over the sheet in steps finer than a pixel; what is passed last stays.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "the sheet lies within the picture"
    )]
    fn draw(&mut self) {
        let map = square_to(self.corners);
        let steps = |length: f64| (length * 1.35) as u32;
        let (columns, rows) = (steps(f64::from(self.width)), steps(f64::from(self.height)));
        for row in 0..rows {
            let v = (f64::from(row) + 0.5) / f64::from(rows);
            for column in 0..columns {
                let u = (f64::from(column) + 0.5) / f64::from(columns);
                let far = |x: f64, y: f64| {
                    let (dx, dy) = (u * 297.0 - x, v * 210.0 - y);
                    (dx * dx + dy * dy).sqrt()
                };
                let value = match () {
                    () if far(148.5, 105.0) < 35.0 => 70,
                    () if far(248.0, 170.0) < 12.0 => 120,
                    () => 228,
                };
                let [x, y] = map(u, v);
                self.grey[y as usize * self.width as usize + x as usize] = value;
            }
        }
    }

    /// Four bytes a pixel, as a canvas has them.
    pub(crate) fn rgba(&self) -> Vec<u8> {
        self.grey.iter().flat_map(|&value| [value, value, value, 255]).collect()
    }

    /// As a PNG in grey (W3C PNG, third edition, sections 5 and 11.2).
    pub(crate) fn png(&self) -> Vec<u8> {
        let rows = self.grey.chunks(self.width as usize);
        let lines: Vec<u8> =
            rows.flat_map(|row| std::iter::once(0).chain(row.iter().copied())).collect();
        png(self.width, self.height, &compress_to_vec_zlib(&lines, 1))
    }
}

/// A picture of four bytes a pixel as a PNG in colour.
pub(crate) fn png_of((width, height): (u32, u32), rgba: &[u8]) -> Vec<u8> {
    let rows = rgba.chunks(4 * width as usize);
    let lines: Vec<u8> = rows
        .flat_map(|row| {
            std::iter::once(0).chain(row.chunks(4).flat_map(|pixel| [pixel[0], pixel[1], pixel[2]]))
        })
        .collect();
    chunks(width, height, 2, &compress_to_vec_zlib(&lines, 1))
}

/// A PNG in grey of this size with these packed rows, whether or not they fit it.
pub(crate) fn png(width: u32, height: u32, packed: &[u8]) -> Vec<u8> {
    chunks(width, height, 0, packed)
}

fn chunks(width: u32, height: u32, color: u8, packed: &[u8]) -> Vec<u8> {
    let mut header = [width.to_be_bytes(), height.to_be_bytes()].concat();
    header.extend([8, color, 0, 0, 0]);
    let mut bytes = b"\x89PNG\r\n\x1a\n".to_vec();
    for (kind, content) in [(b"IHDR", &header[..]), (b"IDAT", packed), (b"IEND", &[])] {
        bytes.extend(u32::try_from(content.len()).expect("a small chunk").to_be_bytes());
        let body = [&kind[..], content].concat();
        bytes.extend(&body);
        bytes.extend(crc32fast::hash(&body).to_be_bytes());
    }
    bytes
}
