//! A small reader of Rust: what a file imports, which paths it names and which modules it declares.
//!
//! It knows just enough of the language for that: comments, texts and what is compiled for tests alone are left
//! out, the rest is words and signs. Macros are read as if they were plain code.

/// A word or a sign of a file; `::` is one sign.
pub(crate) type Token = String;

/// What one file says.
#[derive(Debug, Default)]
pub(crate) struct Read {
    /// Its `use` lines, one entry a name.
    pub(crate) imports: Vec<Import>,
    /// The paths of more than one segment that stand elsewhere in it.
    pub(crate) paths: Vec<Vec<String>>,
    /// Every word that stands outside `use` lines.
    pub(crate) words: Vec<String>,
    /// The modules that it declares and that have files of their own.
    pub(crate) modules: Vec<String>,
    /// What it defines.
    pub(crate) defined: Vec<String>,
}

/// One imported name.
#[derive(Debug, Clone)]
pub(crate) struct Import {
    /// The path, as written; the last segment of a glob is `*`.
    pub(crate) path: Vec<String>,
    /// The name it has in the file.
    pub(crate) name: String,
    /// Whether it is handed on (`pub use`, also with a narrower reach).
    pub(crate) handed_on: bool,
}

/// Reads a file's text.
pub(crate) fn read(text: &str) -> Read {
    let tokens = without_tests(&tokens(text));
    let mut read = Read::default();
    let mut at = 0;
    while at < tokens.len() {
        match tokens[at].as_str() {
            // Not the `use<…>` of a returned type.
            "use" if tokens.get(at + 1).is_some_and(|t| t != "<") => {
                let handed_on = at > 0 && (tokens[at - 1] == "pub" || tokens[at - 1] == ")");
                let end = at + tokens[at..].iter().position(|t| t == ";").unwrap_or(tokens.len() - at - 1);
                tree(&tokens[at + 1..end], &[], handed_on, &mut read.imports);
                at = end;
            }
            "mod" if tokens.get(at + 2).is_some_and(|t| t == ";") => {
                read.modules.push(tokens[at + 1].clone());
                at += 2;
            }
            "fn" | "struct" | "enum" | "trait" | "type" | "const" | "static" if at + 1 < tokens.len() => {
                read.defined.push(tokens[at + 1].clone());
            }
            word if is_word(word) => {
                let mut path = vec![word.to_owned()];
                while tokens.get(at + 1).is_some_and(|t| t == "::")
                    && tokens.get(at + 2).is_some_and(|t| is_word(t))
                {
                    path.push(tokens[at + 2].clone());
                    at += 2;
                }
                read.words.push(path[0].clone());
                if path.len() > 1 {
                    read.paths.push(path);
                }
            }
            _ => {}
        }
        at += 1;
    }
    read
}

/// The names of one `use` tree.
fn tree(tokens: &[Token], before: &[String], handed_on: bool, into: &mut Vec<Import>) {
    for branch in branches(tokens) {
        let mut path = before.to_vec();
        let mut at = 0;
        while at < branch.len() {
            match branch[at].as_str() {
                "::" => {}
                "{" => {
                    tree(&branch[at + 1..branch.len() - 1], &path, handed_on, into);
                    path.clear();
                    break;
                }
                "as" => break,
                "self" if !path.is_empty() => {}
                segment => path.push(segment.to_owned()),
            }
            at += 1;
        }
        if let Some(last) = path.last() {
            let name = if branch.get(at).is_some_and(|t| t == "as") { &branch[at + 1] } else { last };
            into.push(Import { name: name.clone(), path: path.clone(), handed_on });
        }
    }
}

/// What commas part at the outermost level.
fn branches(tokens: &[Token]) -> Vec<&[Token]> {
    let (mut depth, mut from, mut found) = (0, 0, Vec::new());
    for (at, token) in tokens.iter().enumerate() {
        match token.as_str() {
            "{" => depth += 1,
            "}" => depth -= 1,
            "," if depth == 0 => {
                found.push(&tokens[from..at]);
                from = at + 1;
            }
            _ => {}
        }
    }
    found.push(&tokens[from..]);
    found
}

/// The tokens without what stands behind `#[cfg(test)]`.
fn without_tests(tokens: &[Token]) -> Vec<Token> {
    let mark = ["#", "[", "cfg", "(", "test", ")", "]"];
    let (mut kept, mut at) = (Vec::new(), 0);
    while at < tokens.len() {
        if tokens[at..].len() < mark.len() || tokens[at..at + mark.len()] != mark {
            kept.push(tokens[at].clone());
            at += 1;
            continue;
        }
        // Up to the semicolon or the closing brace of the item behind it, over further attributes.
        let (mut depth, mut square) = (0, 0);
        at += mark.len();
        while at < tokens.len() {
            match tokens[at].as_str() {
                "[" => square += 1,
                "]" => square -= 1,
                "{" => depth += 1,
                "}" => depth -= 1,
                _ => {}
            }
            let ends = (tokens[at] == "}" || tokens[at] == ";") && depth == 0 && square == 0;
            at += 1;
            if ends {
                break;
            }
        }
    }
    kept
}

fn is_word(token: &str) -> bool {
    token.starts_with(|c: char| c.is_alphabetic() || c == '_')
}

/// Words and signs, without comments, texts and lifetimes.
fn tokens(text: &str) -> Vec<Token> {
    let chars: Vec<char> = text.chars().collect();
    let next_is = |at: usize, what: char| chars.get(at) == Some(&what);
    let (mut found, mut at) = (Vec::new(), 0);
    while at < chars.len() {
        let c = chars[at];
        if c == '/' && next_is(at + 1, '/') {
            while at < chars.len() && chars[at] != '\n' {
                at += 1;
            }
        } else if c == '"' {
            at += 1;
            while at < chars.len() && chars[at] != '"' {
                at += if chars[at] == '\\' { 2 } else { 1 };
            }
            at += 1;
        } else if c == 'r' && (next_is(at + 1, '"') || next_is(at + 1, '#') && next_is(at + 2, '"')) {
            let hashed = next_is(at + 1, '#');
            at += if hashed { 3 } else { 2 };
            while at < chars.len() && !(chars[at] == '"' && (!hashed || next_is(at + 1, '#'))) {
                at += 1;
            }
            at += if hashed { 2 } else { 1 };
        } else if c == '\'' {
            // A character, or the mark of a lifetime.
            at += if next_is(at + 1, '\\') {
                2 + chars[at + 2..].iter().skip(1).position(|c| *c == '\'').map_or(0, |n| n + 2)
            } else if next_is(at + 2, '\'') {
                3
            } else {
                1
            };
        } else if c.is_alphanumeric() || c == '_' {
            let from = at;
            while at < chars.len() && (chars[at].is_alphanumeric() || chars[at] == '_') {
                at += 1;
            }
            found.push(chars[from..at].iter().collect());
        } else if c == ':' && next_is(at + 1, ':') {
            found.push("::".to_owned());
            at += 2;
        } else {
            if !c.is_whitespace() {
                found.push(c.to_string());
            }
            at += 1;
        }
    }
    found
}

#[test]
fn names_of_nested_imports_are_read() {
    let read = read(
        "pub use crate::{a::{B, c as d}, e::*}; // use crate::no;\nfn f() { let _ = g::H::new(\"use x;\"); }",
    );
    let seen: Vec<_> =
        read.imports.iter().map(|i| (i.path.join("::"), i.name.as_str(), i.handed_on)).collect();
    assert_eq!(
        seen,
        [
            ("crate::a::B".to_owned(), "B", true),
            ("crate::a::c".to_owned(), "d", true),
            ("crate::e::*".to_owned(), "*", true)
        ]
    );
    assert_eq!(read.paths, [["g", "H", "new"]]);
}

#[test]
fn what_is_compiled_for_tests_alone_is_left_out() {
    let read = read(
        "mod a;\n#[cfg(test)]\n#[allow(x, reason = \"y\")]\nmod tests { use super::*; fn f() {} }\n#[cfg(test)]\nmod more;\nuse super::b;",
    );
    assert_eq!(read.modules, ["a"]);
    assert_eq!(read.imports.len(), 1);
}

#[test]
fn characters_and_lifetimes_do_not_hide_what_follows() {
    let read = read("fn f<'a>(x: &'a str) { x.split('\"'); x.split('\\''); x.split('\\u{2033}'); b::c() }");
    assert_eq!(read.paths, [["b", "c"]]);
}
