//! Puts functions that are alike next to each other in a module, so that gzip finds them in its window.
//!
//! Generic code is compiled once for every type, and what is made of one function differs in a few bytes. The linker and
//! the binding tool order functions by their sizes; gzip (RFC 1951) looks back 32 kB, and those siblings stand further
//! apart. Ordered by the names they have in the source, the page weighs an eighth less on its way, and it is the same code.
//! What is the same to the last byte is kept once; Rust promises no function an address of its own.

use std::collections::BTreeMap;
use std::convert::Infallible;

use wasm_encoder::reencode::{Error, Reencode};
use wasm_encoder::{CodeSection, FunctionSection, Module};
use wasmparser::{
    BinaryReaderError, CodeSectionReader, CustomSectionReader, FunctionSectionReader, KnownCustom,
    Name, NameSectionReader, Parser, Payload, TypeRef,
};

/// The same module with equal functions kept once, ordered by name, and without its section of names.
///
/// # Errors
/// In words, when the bytes are not a module.
pub(crate) fn by_name(module: &[u8]) -> Result<Vec<u8>, String> {
    let told = |error: BinaryReaderError| error.to_string();
    let mut merged = module.to_vec();
    // Functions that call twins are twins themselves once those are one.
    while let Some(merge) = Move::merging(&Functions::read(&merged).map_err(told)?) {
        merged = merge.done_to(&merged)?;
    }
    let order = Move::ordering(&Functions::read(&merged).map_err(told)?);
    order.done_to(&merged)
}

/// The functions of a module.
#[derive(Default)]
struct Functions<'m> {
    /// How many are imported: these come first when functions are numbered.
    imported: u32,
    /// The types of those that the module has of its own, in the order of their code.
    types: Vec<u32>,
    bodies: Vec<&'m [u8]>,
    names: BTreeMap<u32, &'m str>,
}

impl<'m> Functions<'m> {
    fn read(module: &'m [u8]) -> Result<Self, BinaryReaderError> {
        let mut all = Self::default();
        for payload in Parser::new(0).parse_all(module) {
            match payload? {
                Payload::ImportSection(imports) => {
                    for import in imports.into_imports() {
                        all.imported += u32::from(matches!(import?.ty, TypeRef::Func(_)));
                    }
                }
                Payload::FunctionSection(section) => {
                    all.types = section.into_iter().collect::<Result<_, _>>()?;
                }
                Payload::CodeSectionEntry(body) => all.bodies.push(body.as_bytes()),
                Payload::CustomSection(section) => {
                    if let KnownCustom::Name(section) = section.as_known() {
                        all.names = function_names(section)?;
                    }
                }
                _ => {}
            }
        }
        Ok(all)
    }

    /// The number of the function whose code stands at a place.
    fn index(&self, place: usize) -> u32 {
        self.imported + u32::try_from(place).unwrap_or(u32::MAX)
    }

    fn name(&self, place: usize) -> &'m str {
        self.names.get(&self.index(place)).map_or("", |name| source_name(name))
    }

    /// The numbers as they are.
    fn indices(&self) -> Vec<u32> {
        (0..self.index(self.bodies.len())).collect()
    }
}

/// Where each function goes.
struct Move {
    /// The functions that the module has of its own and keeps, by their present places in the code, in the order they will
    /// have.
    order: Vec<usize>,
    /// The new index of each function, those imported first.
    places: Vec<u32>,
    keeps_names: bool,
}

impl Move {
    /// Orders by the name in the source, then by the code itself.
    fn ordering(all: &Functions<'_>) -> Self {
        let mut order: Vec<usize> = (0..all.bodies.len()).collect();
        order.sort_by_key(|place| (all.name(*place), all.bodies[*place]));
        let mut places = all.indices();
        for (new, old) in order.iter().enumerate() {
            places[all.index(*old) as usize] = all.index(new);
        }
        Self { order, places, keeps_names: false }
    }

    /// Keeps the first of those that are equal; nothing when all differ.
    fn merging(all: &Functions<'_>) -> Option<Self> {
        let (mut order, mut places) = (Vec::new(), all.indices());
        let mut known = BTreeMap::new();
        for (place, body) in all.bodies.iter().enumerate() {
            let kept = *known.entry((all.types.get(place), body)).or_insert_with(|| {
                order.push(place);
                all.index(order.len() - 1)
            });
            places[all.index(place) as usize] = kept;
        }
        let has_twins = order.len() < all.bodies.len();
        has_twins.then_some(Self { order, places, keeps_names: true })
    }

    fn done_to(mut self, module: &[u8]) -> Result<Vec<u8>, String> {
        let mut moved = Module::new();
        let done = self.parse_core_module(&mut moved, Parser::new(0), module);
        done.map_err(|error| format!("{error:?}"))?;
        Ok(moved.finish())
    }
}

impl Reencode for Move {
    type Error = Infallible;

    fn function_index(&mut self, function: u32) -> Result<u32, Error<Infallible>> {
        // A module that passed the binding tool names no function that it does not have.
        Ok(self.places.get(function as usize).copied().unwrap_or(function))
    }

    fn parse_function_section(
        &mut self,
        functions: &mut FunctionSection,
        section: FunctionSectionReader<'_>,
    ) -> Result<(), Error<Infallible>> {
        let types = section.into_iter().collect::<Result<Vec<u32>, _>>()?;
        for place in self.order.clone() {
            functions.function(self.type_index(types[place])?);
        }
        Ok(())
    }

    fn parse_code_section(
        &mut self,
        code: &mut CodeSection,
        section: CodeSectionReader<'_>,
    ) -> Result<(), Error<Infallible>> {
        let bodies = section.into_iter().collect::<Result<Vec<_>, _>>()?;
        for place in self.order.clone() {
            self.parse_function_body(code, bodies[place].clone())?;
        }
        Ok(())
    }

    fn parse_custom_section(
        &mut self,
        module: &mut Module,
        section: CustomSectionReader<'_>,
    ) -> Result<(), Error<Infallible>> {
        match section.as_known() {
            KnownCustom::Name(_) if !self.keeps_names => {}
            // Two names of one function do no harm on the way.
            KnownCustom::Name(names) => {
                module.section(&self.custom_name_section(names)?);
            }
            _ => {
                module.section(&self.custom_section(section)?);
            }
        }
        Ok(())
    }
}

/// The names of functions, by index.
fn function_names(
    section: NameSectionReader<'_>,
) -> Result<BTreeMap<u32, &str>, BinaryReaderError> {
    let mut names = BTreeMap::new();
    for part in section {
        if let Name::Function(functions) = part? {
            for function in functions {
                let function = function?;
                names.insert(function.index, function.name);
            }
        }
    }
    Ok(names)
}

/// A function's name without the hash by which the compiler tells siblings apart.
fn source_name(name: &str) -> &str {
    name.rsplit_once("::h")
        .filter(|(_, hash)| hash.len() == 16 && hash.bytes().all(|digit| digit.is_ascii_hexdigit()))
        .map_or(name, |(path, _)| path)
}

#[cfg(test)]
mod tests {
    use wasm_encoder::{
        ConstExpr, ElementSection, Elements, EntityType, ExportKind, ExportSection, Function,
        ImportSection, NameMap, NameSection, RefType, TableSection, TableType, TypeSection,
        ValType,
    };

    use super::*;

    /// A module that imports a function and has four of its own, each of which gives its own number: those that are called
    /// in the source `b`, `a` and `b` again, and one that calls the second.
    fn scattered() -> Vec<u8> {
        let mut module = Module::new();
        let mut types = TypeSection::new();
        types.ty().function([], [ValType::I32]);
        module.section(&types);
        let mut imports = ImportSection::new();
        imports.import("from", "outside", EntityType::Function(0));
        module.section(&imports);
        let mut functions = FunctionSection::new();
        (0..4).for_each(|_| {
            functions.function(0);
        });
        module.section(&functions);
        let mut tables = TableSection::new();
        tables.table(TableType {
            element_type: RefType::FUNCREF,
            table64: false,
            minimum: 2,
            maximum: None,
            shared: false,
        });
        module.section(&tables);
        let mut exports = ExportSection::new();
        for (name, index) in [("first", 1), ("second", 2), ("third", 3), ("calls", 4), ("in", 0)] {
            exports.export(name, ExportKind::Func, index);
        }
        module.section(&exports);
        let mut elements = ElementSection::new();
        let listed = Elements::Functions([3, 0].as_slice().into());
        elements.active(None, &ConstExpr::i32_const(0), listed);
        module.section(&elements);
        let mut code = CodeSection::new();
        for number in [100, 200, 300] {
            let mut function = Function::new([]);
            function.instructions().i32_const(number).end();
            code.function(&function);
        }
        let mut calls = Function::new([]);
        calls.instructions().call(2).end();
        code.function(&calls);
        module.section(&code);
        let mut names = NameMap::new();
        for (index, name) in
            ["b::h00000000000000bb", "a::h0123456789abcdef", "b::h00000000000000aa"]
                .into_iter()
                .enumerate()
        {
            names.append(u32::try_from(index).expect("few") + 1, name);
        }
        names.append(4, "of_all");
        let mut section = NameSection::new();
        section.functions(&names);
        module.section(&section);
        module.finish()
    }

    /// The bodies of a module, what each export and each place of the table is, and whether it has names.
    fn read(module: &[u8]) -> (Vec<Vec<u8>>, BTreeMap<String, u32>, Vec<u32>, bool) {
        let (mut bodies, mut exports, mut listed) = (Vec::new(), BTreeMap::new(), Vec::new());
        let mut has_names = false;
        for payload in Parser::new(0).parse_all(module) {
            match payload.expect("a module") {
                Payload::CodeSectionEntry(body) => bodies.push(body.as_bytes().to_vec()),
                Payload::ExportSection(section) => {
                    let all = section.into_iter().map(|export| export.expect("an export"));
                    exports = all.map(|export| (export.name.to_owned(), export.index)).collect();
                }
                Payload::ElementSection(section) => {
                    for element in section {
                        let items = element.expect("elements").items;
                        let wasmparser::ElementItems::Functions(items) = items else {
                            panic!("functions")
                        };
                        listed.extend(items.into_iter().map(|index| index.expect("an index")));
                    }
                }
                Payload::CustomSection(section) => has_names |= section.name() == "name",
                _ => {}
            }
        }
        (bodies, exports, listed, has_names)
    }

    #[test]
    fn siblings_stand_together_and_everything_still_finds_them() {
        let before = scattered();
        let after = by_name(&before).expect("a module");
        wasmparser::validate(&after).expect("a valid module");
        let ((old, old_exports, old_listed, named), (new, exports, listed, still_named)) =
            (read(&before), read(&after));
        assert!(named && !still_named);
        // `a`, both of `b` in the order of their bytes, and the caller, whose call is of the first now.
        let calls_first = [0, 0x10, 1, 0x0b].to_vec();
        assert_eq!(new, [old[1].clone(), old[2].clone(), old[0].clone(), calls_first]);
        let body =
            |bodies: &[Vec<u8>], index: u32| bodies.get(index.wrapping_sub(1) as usize).cloned();
        for name in ["first", "second", "third", "in"] {
            assert_eq!(body(&new, exports[name]), body(&old, old_exports[name]), "{name}");
        }
        assert_eq!(exports["calls"], 4);
        let code_of = |bodies: &[Vec<u8>], listed: &[u32]| -> Vec<Option<Vec<u8>>> {
            listed.iter().map(|index| body(bodies, *index)).collect()
        };
        assert_eq!(code_of(&new, &listed), code_of(&old, &old_listed));
    }

    /// Five functions: two that give the same number, two that each call one of them, and one that gives the number as
    /// another type.
    fn with_twins() -> Vec<u8> {
        let mut module = Module::new();
        let mut types = TypeSection::new();
        types.ty().function([], [ValType::I32]);
        types.ty().function([ValType::I32], [ValType::I32]);
        module.section(&types);
        let mut functions = FunctionSection::new();
        for kind in [0, 0, 0, 0, 1] {
            functions.function(kind);
        }
        module.section(&functions);
        let mut exports = ExportSection::new();
        for (name, index) in [("one", 0), ("other", 1), ("calls", 2), ("does too", 3), ("odd", 4)] {
            exports.export(name, ExportKind::Func, index);
        }
        module.section(&exports);
        let mut code = CodeSection::new();
        for body in [None, None, Some(0), Some(1), None] {
            let mut function = Function::new([]);
            match body {
                None => function.instructions().i32_const(7).end(),
                Some(called) => function.instructions().call(called).end(),
            };
            code.function(&function);
        }
        module.section(&code);
        module.finish()
    }

    #[test]
    fn twins_and_those_that_call_them_are_kept_once_but_not_under_another_type() {
        let after = by_name(&with_twins()).expect("a module");
        wasmparser::validate(&after).expect("a valid module");
        let (bodies, exports, _, _) = read(&after);
        assert_eq!(bodies.len(), 3, "{bodies:?}");
        assert_eq!(exports["one"], exports["other"]);
        assert_eq!(exports["calls"], exports["does too"]);
        let [one, odd] = ["one", "odd"].map(|name| exports[name]);
        assert!(one != odd && bodies[one as usize] == bodies[odd as usize]);
        assert_eq!(bodies[exports["calls"] as usize][2], u8::try_from(one).expect("few"));
    }

    #[test]
    fn what_is_no_module_is_told() {
        assert!(by_name(b"not a module").is_err());
    }

    #[test]
    fn only_a_hash_is_taken_off_a_name() {
        assert_eq!(source_name("core::fmt::write::h0123456789abcdef"), "core::fmt::write");
        assert_eq!(source_name("paint::height"), "paint::height");
    }
}
