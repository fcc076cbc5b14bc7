//! Reads Rust files for the tests that judge them: words in order, functions with their lengths, what is test code.

use std::collections::BTreeSet;
use std::ops::RangeInclusive;

use proc_macro2::{Delimiter, TokenStream, TokenTree};
use syn::visit::{self, Visit};

/// What a Rust file is made of.
#[derive(Debug)]
pub struct RustText {
    /// Every word and sign in order, comments and white space left out.
    pub tokens: Vec<Token>,
    /// Every function with a body, nested ones too.
    pub functions: Vec<Function>,
    /// The lines of its inline test modules.
    pub test_lines: Vec<RangeInclusive<usize>>,
    /// The names of its test modules that stand in files of their own.
    pub test_files: BTreeSet<String>,
}

/// A word or a sign.
#[derive(Debug, PartialEq, Eq)]
pub struct Token {
    /// The word, or the one character of the sign; a bracket is a sign.
    pub text: String,
    /// The line that it stands on, from 1.
    pub line: usize,
}

/// A function with a body.
#[derive(Debug)]
pub struct Function {
    /// Its name.
    pub name: String,
    /// The line of its `fn`, from 1.
    pub line: usize,
    /// The lines from its `fn` to the closing brace, both included; attributes and documentation do not count.
    pub length: usize,
    /// Whether it stands in an inline test module.
    pub is_test: bool,
}

impl RustText {
    /// Reads a file.
    ///
    /// # Errors
    ///
    /// When it is no Rust, with the place and the reason.
    pub fn read(text: &str) -> syn::Result<Self> {
        let mut tokens = Vec::new();
        flatten(text.parse::<TokenStream>()?, &mut tokens);
        let mut finder = Finder::default();
        finder.visit_file(&syn::parse_file(text)?);
        let Finder { functions, test_lines, test_files, .. } = finder;
        Ok(Self { tokens, functions, test_lines, test_files })
    }

    /// Whether a line belongs to an inline test module.
    #[must_use]
    pub fn is_test(&self, line: usize) -> bool {
        self.test_lines.iter().any(|lines| lines.contains(&line))
    }

    /// The tokens after every place where these stand in a row, together with the line of the first.
    #[must_use]
    pub fn after(&self, row: &[&str]) -> Vec<(usize, &[Token])> {
        let places = (0..self.tokens.len()).filter_map(|start| {
            let here = self.tokens.get(start..start + row.len())?;
            let is_here = here.iter().zip(row).all(|(token, word)| token.text == *word);
            is_here.then(|| (here[0].line, &self.tokens[start + row.len()..]))
        });
        places.collect()
    }

    /// What stands in the brackets of every attribute, together with the line of its `#`.
    #[must_use]
    pub fn attributes(&self) -> Vec<(usize, &[Token])> {
        let outer = self.after(&["#", "["]);
        let inner = self.after(&["#", "!", "["]);
        outer.into_iter().chain(inner).map(|(line, rest)| (line, &rest[..closing(rest)])).collect()
    }
}

/// How many of these tokens stand before the bracket that closes what was open before them.
#[must_use]
pub fn closing(tokens: &[Token]) -> usize {
    let mut depth = 0_usize;
    for (number, token) in tokens.iter().enumerate() {
        match token.text.as_str() {
            "(" | "[" | "{" => depth += 1,
            ")" | "]" | "}" if depth == 0 => return number,
            ")" | "]" | "}" => depth -= 1,
            _ => {}
        }
    }
    tokens.len()
}

fn flatten(stream: TokenStream, into: &mut Vec<Token>) {
    for tree in stream {
        let TokenTree::Group(group) = tree else {
            into.push(Token { text: tree.to_string(), line: tree.span().start().line });
            continue;
        };
        let (open, close) = match group.delimiter() {
            Delimiter::Parenthesis => ("(", ")"),
            Delimiter::Brace => ("{", "}"),
            Delimiter::Bracket => ("[", "]"),
            Delimiter::None => ("", ""),
        };
        into.push(Token { text: open.to_owned(), line: group.span_open().start().line });
        flatten(group.stream(), into);
        into.push(Token { text: close.to_owned(), line: group.span_close().start().line });
    }
}

/// Walks through a file and notes what [`RustText`] wants to know.
#[derive(Default)]
struct Finder {
    functions: Vec<Function>,
    test_lines: Vec<RangeInclusive<usize>>,
    test_files: BTreeSet<String>,
    is_in_test: bool,
}

impl Finder {
    fn note(&mut self, signature: &syn::Signature, body: &syn::Block) {
        let line = signature.fn_token.span.start().line;
        let end = body.brace_token.span.close().end().line;
        self.functions.push(Function {
            name: signature.ident.to_string(),
            line,
            length: end - line + 1,
            is_test: self.is_in_test,
        });
    }
}

impl<'ast> Visit<'ast> for Finder {
    fn visit_item_mod(&mut self, module: &'ast syn::ItemMod) {
        let was_in_test = self.is_in_test;
        if module.attrs.iter().any(is_for_tests) {
            match &module.content {
                Some((brace, _)) => {
                    let lines = module.mod_token.span.start().line..=brace.span.close().end().line;
                    self.test_lines.push(lines);
                }
                None => _ = self.test_files.insert(module.ident.to_string()),
            }
            self.is_in_test = true;
        }
        visit::visit_item_mod(self, module);
        self.is_in_test = was_in_test;
    }

    fn visit_item_fn(&mut self, function: &'ast syn::ItemFn) {
        self.note(&function.sig, &function.block);
        visit::visit_item_fn(self, function);
    }

    fn visit_impl_item_fn(&mut self, function: &'ast syn::ImplItemFn) {
        self.note(&function.sig, &function.block);
        visit::visit_impl_item_fn(self, function);
    }

    fn visit_trait_item_fn(&mut self, function: &'ast syn::TraitItemFn) {
        if let Some(body) = &function.default {
            self.note(&function.sig, body);
        }
        visit::visit_trait_item_fn(self, function);
    }
}

/// Whether an attribute keeps what follows to tests: `#[cfg(test)]`, also among other conditions.
fn is_for_tests(attribute: &syn::Attribute) -> bool {
    let syn::Meta::List(list) = &attribute.meta else {
        return false;
    };
    let mut words = Vec::new();
    flatten(list.tokens.clone(), &mut words);
    list.path.is_ident("cfg") && words.iter().any(|word| word.text == "test")
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = r#"//! A file.

use crate::units::Length;

#[expect(dead_code, reason = "shown")]
fn first(
    length: Length,
) -> f64 {
    // crate::plan in a comment is no use of it, and neither is "fn two() {" in a text.
    length.to_mm()
}

trait Shape {
    fn area(&self) -> f64;
    fn twice(&self) -> f64 { 2.0 * self.area() }
}

#[cfg(test)]
mod fixture;

#[cfg(test)]
mod tests {
    fn helper() {}
}
"#;

    fn read() -> RustText {
        RustText::read(TEXT).expect("it is Rust")
    }

    #[test]
    fn functions_are_measured_from_their_fn_to_their_brace() {
        let found: Vec<_> = read()
            .functions
            .iter()
            .map(|one| (one.name.clone(), one.line, one.length, one.is_test))
            .collect();
        let expected = [("first", 6, 6, false), ("twice", 15, 1, false), ("helper", 23, 1, true)];
        let expected = expected.map(|(name, line, length, is_test)| {
            let name = name.to_owned();
            (name, line, length, is_test)
        });
        assert_eq!(found, expected);
    }

    #[test]
    fn paths_are_found_in_code_and_not_in_comments_or_texts() {
        let text = read();
        let rooms: Vec<_> = text
            .after(&["crate", ":", ":"])
            .iter()
            .map(|(line, rest)| (*line, &rest[0].text))
            .collect();
        assert_eq!(rooms, [(3, &"units".to_owned())]);
    }

    #[test]
    fn test_modules_are_known_inline_and_by_name() {
        let text = read();
        assert!(text.is_test(22) && text.is_test(24) && !text.is_test(19));
        assert_eq!(text.test_files, BTreeSet::from(["fixture".to_owned()]));
    }

    #[test]
    fn attributes_are_read_to_their_own_bracket() {
        let text = read();
        let attributes = text.attributes();
        // Whether the comment of line 1 counts as one too is the tokenizer's affair.
        let (_, first) = attributes.iter().find(|(line, _)| *line == 5).expect("one on line 5");
        let words: Vec<_> = first.iter().map(|token| token.text.as_str()).collect();
        assert_eq!(words.join(" "), "expect ( dead_code , reason = \"shown\" )");
    }
}
