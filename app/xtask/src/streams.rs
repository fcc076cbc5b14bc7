//! Parts the bytes of a module by what they say, so that what is alike stands together.
//!
//! Copies of one generic function have the same instructions and differ in whom they call and in a few numbers. In one
//! row each difference breaks off what repeats; in a stream of its own it does not, and a module packs a tenth smaller.
//! `public/unpack.js` puts the streams together again; both follow the binary format of the "WebAssembly Core
//! Specification" 2.0 (W3C), chapter 5.4.

/// The bytes of one module.
#[derive(Debug, Default, PartialEq, Eq)]
pub struct Streams {
    /// All that is no instruction, without the sizes of functions, and what instructions seldom have with them.
    frame: Vec<u8>,
    /// What each instruction is, and what belongs closely to it.
    code: Vec<u8>,
    locals: Vec<u8>,
    /// Which function is called or named.
    calls: Vec<u8>,
    /// Whole numbers.
    numbers: Vec<u8>,
    /// How far after its address something is read or written.
    offsets: Vec<u8>,
}

impl Streams {
    /// Parts a module.
    ///
    /// # Errors
    ///
    /// In words, when the module breaks off or has an instruction that the page could not put together again.
    pub fn of(module: &[u8]) -> Result<Self, String> {
        let mut reader = Reader { rest: module, into: Self::default() };
        reader.module()?;
        Ok(reader.into)
    }

    /// In the order that they are packed in.
    pub(crate) fn all(&self) -> [&[u8]; 6] {
        [&self.frame, &self.code, &self.locals, &self.calls, &self.numbers, &self.offsets]
    }
}

/// Which stream something goes to.
type Stream = fn(&mut Streams) -> &mut Vec<u8>;

const FRAME: Stream = |streams| &mut streams.frame;
const CODE: Stream = |streams| &mut streams.code;
const LOCALS: Stream = |streams| &mut streams.locals;
const CALLS: Stream = |streams| &mut streams.calls;
const NUMBERS: Stream = |streams| &mut streams.numbers;
const OFFSETS: Stream = |streams| &mut streams.offsets;

/// What is still to be read, and what was.
struct Reader<'m> {
    rest: &'m [u8],
    into: Streams,
}

impl Reader<'_> {
    /// The eight bytes that every module begins with, then its sections; the tenth kind holds the code.
    fn module(&mut self) -> Result<(), String> {
        self.bytes(8, FRAME)?;
        while !self.rest.is_empty() {
            let kind = self.byte(FRAME)?;
            let size = self.number(FRAME)?;
            if kind == 10 {
                for _ in 0..self.number(FRAME)? {
                    self.function()?;
                }
            } else {
                self.bytes(size, FRAME)?;
            }
        }
        Ok(())
    }

    /// One function: its size, which follows from the rest, its locals, and instructions up to the end of the outermost block.
    fn function(&mut self) -> Result<(), String> {
        let before = self.rest.len();
        let size = self.skipped_number()?;
        let is_shortest = before - self.rest.len() == shortest(size);
        let end = self.rest.len().checked_sub(size).filter(|_| is_shortest);
        let end = end.ok_or("the size of a function is not as short as it could be")?;
        for _ in 0..self.number(FRAME)? {
            self.number(FRAME)?;
            self.byte(FRAME)?;
        }
        let mut depth = 1;
        while depth > 0 {
            depth += self.instruction()?;
        }
        if self.rest.len() == end { Ok(()) } else { Err("a function has another size".to_owned()) }
    }

    /// One instruction; gives by how much blocks are nested deeper after it.
    fn instruction(&mut self) -> Result<i32, String> {
        let instruction = self.byte(CODE)?;
        match instruction {
            0x0b => return Ok(-1),
            0x02..=0x04 => {
                self.number(CODE)?;
                return Ok(1);
            }
            0x00 | 0x01 | 0x05 | 0x0f | 0x1a | 0x1b | 0x45..=0xc4 | 0xd1 => {}
            0x0c | 0x0d | 0x23..=0x26 | 0x3f | 0x40 | 0xd0 => _ = self.number(CODE)?,
            0x0e => self.numbers(1)?,
            0x1c => self.numbers(0)?,
            0x10 | 0xd2 => _ = self.number(CALLS)?,
            0x11 => {
                self.number(FRAME)?;
                self.number(FRAME)?;
            }
            0x20..=0x22 => _ = self.number(LOCALS)?,
            0x28..=0x3e => self.place()?,
            0x41 | 0x42 => _ = self.number(NUMBERS)?,
            0x43 => self.bytes(4, FRAME)?,
            0x44 => self.bytes(8, FRAME)?,
            0xfc => self.bulk()?,
            0xfd => self.wide()?,
            other => return Err(format!("no instruction {other:#04x} is known")),
        }
        Ok(0)
    }

    /// Conversions that saturate, and work on whole stretches of memory or tables.
    fn bulk(&mut self) -> Result<(), String> {
        match self.number(CODE)? {
            0..=7 => {}
            9 | 11 | 13 | 15..=17 => _ = self.number(CODE)?,
            8 | 10 | 12 | 14 => {
                self.number(CODE)?;
                self.number(CODE)?;
            }
            other => return Err(format!("no instruction 0xfc {other} is known")),
        }
        Ok(())
    }

    /// Registers of 128 bits.
    fn wide(&mut self) -> Result<(), String> {
        match self.number(CODE)? {
            0..=11 | 92 | 93 => self.place()?,
            12 | 13 => self.bytes(16, FRAME)?,
            21..=34 => _ = self.byte(CODE)?,
            84..=91 => {
                self.place()?;
                self.byte(CODE)?;
            }
            _ => {}
        }
        Ok(())
    }

    /// Where memory is read or written: how it is aligned, and how far after the address.
    fn place(&mut self) -> Result<(), String> {
        self.number(CODE)?;
        self.number(OFFSETS).map(drop)
    }

    /// A count, and that many numbers and so many more.
    fn numbers(&mut self, more: usize) -> Result<(), String> {
        for _ in 0..self.number(FRAME)? + more {
            self.number(FRAME)?;
        }
        Ok(())
    }

    /// A number of the format (LEB128); its value is of use where it counts something, so of its bits the lowest are enough.
    fn number(&mut self, into: Stream) -> Result<usize, String> {
        let start = self.rest;
        let value = self.skipped_number()?;
        into(&mut self.into).extend(&start[..start.len() - self.rest.len()]);
        Ok(value)
    }

    fn skipped_number(&mut self) -> Result<usize, String> {
        let mut value = 0;
        for shift in (0..).step_by(7) {
            let (first, rest) = self.rest.split_first().ok_or(BROKEN_OFF)?;
            self.rest = rest;
            value |= usize::from(first & 0x7f).checked_shl(shift).unwrap_or_default();
            if *first < 0x80 {
                break;
            }
        }
        Ok(value)
    }

    fn byte(&mut self, into: Stream) -> Result<u8, String> {
        let first = *self.rest.first().ok_or(BROKEN_OFF)?;
        self.bytes(1, into)?;
        Ok(first)
    }

    fn bytes(&mut self, many: usize, into: Stream) -> Result<(), String> {
        let (taken, rest) = self.rest.split_at_checked(many).ok_or(BROKEN_OFF)?;
        into(&mut self.into).extend(taken);
        self.rest = rest;
        Ok(())
    }
}

const BROKEN_OFF: &str = "the module breaks off";

/// How many bytes a number takes at least.
fn shortest(mut number: usize) -> usize {
    let mut bytes = 1;
    while number >= 0x80 {
        number >>= 7;
        bytes += 1;
    }
    bytes
}

#[cfg(test)]
mod tests {
    use wasm_encoder::{
        CodeSection, Function, FunctionSection, MemArg, Module, TypeSection, ValType,
    };

    use super::*;

    /// Two functions that differ in a number, whom they call and where they write.
    fn siblings() -> Vec<u8> {
        let (mut types, mut functions, mut code) =
            (TypeSection::new(), FunctionSection::new(), CodeSection::new());
        types.ty().function([], []);
        for (number, callee, offset) in [(70_000, 1, 300), (-70_000, 0, 400)] {
            functions.function(0);
            let mut body = Function::new([(2, ValType::F64)]);
            let place = MemArg { offset, align: 2, memory_index: 0 };
            body.instructions().i32_const(8).i32_const(number).i32_store(place).call(callee);
            body.instructions().f64_const(1.5.into()).local_set(1).end();
            code.function(&body);
        }
        let mut module = Module::new();
        module.section(&types).section(&functions).section(&code);
        module.finish()
    }

    #[test]
    fn what_siblings_have_in_common_stands_together() {
        let module = siblings();
        let parted = Streams::of(&module).expect("a module");
        let [_, code, locals, calls, numbers, offsets] = parted.all();
        let once = [0x41, 0x41, 0x36, 2, 0x10, 0x44, 0x21, 0x0b];
        assert_eq!(code, [once, once].concat());
        assert_eq!(locals, [1, 1]);
        assert_eq!(calls, [1, 0]);
        // 70,000 and its negative, 8, 300 and 400 in LEB128.
        assert_eq!(numbers, [8, 0xf0, 0xa2, 4, 8, 0x90, 0xdd, 0x7b]);
        assert_eq!(offsets, [0xac, 2, 0x90, 3]);
        let kept: usize = parted.all().iter().map(|stream| stream.len()).sum();
        assert_eq!(kept, module.len() - 2, "the sizes of two functions are left out");
    }

    #[test]
    fn a_module_cut_anywhere_is_refused_or_ends_between_sections() {
        let module = siblings();
        let ends = |kept: &usize| Streams::of(&module[..*kept]).is_ok();
        // After the preamble, the types (6 bytes) and the functions (5 bytes).
        assert_eq!((0..module.len()).filter(ends).collect::<Vec<_>>(), [8, 14, 19]);
    }

    #[test]
    fn an_instruction_that_nobody_could_put_together_is_named() {
        let mut module = siblings();
        let call = module.iter().rposition(|byte| *byte == 0x10).expect("a call");
        // 0xfe begins an atomic instruction.
        module[call] = 0xfe;
        assert_eq!(Streams::of(&module), Err("no instruction 0xfe is known".to_owned()));
    }
}
