//! A source file with all of its mutants in it, each behind a switch.

use crate::list::{Genre, Lines, Mutant};
use anyhow::{Result, anyhow};
use proc_macro2::Span;
use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::fmt::Write;
use syn::spanned::Spanned;
use syn::visit::{self, Visit};

type Bytes = (usize, usize);

/// A place of the source that is written anew around its parts.
#[derive(Debug)]
enum Shape {
    /// Operands, and the operator with its mutants.
    Binary {
        left: Bytes,
        operator: Bytes,
        right: Bytes,
    },
    Logical {
        left: Bytes,
        is_and: bool,
        right: Bytes,
    },
    Assign {
        place: Bytes,
        operator: Bytes,
        right: Bytes,
    },
    Unary {
        operator: Bytes,
        operand: Bytes,
    },
    Guard {
        guard: Bytes,
    },
    Arm,
    Body,
    Field {
        value: Bytes,
        base: Bytes,
        name: String,
    },
}

#[derive(Debug)]
struct Node {
    bytes: Bytes,
    shape: Shape,
    site: usize,
    mutants: Vec<(u32, String)>,
}

/// The mutants of one file that could be placed, by the site they stand at.
#[derive(Debug)]
pub(crate) struct Woven {
    pub(crate) text: String,
    pub(crate) sites: BTreeMap<usize, Vec<u32>>,
}

/// Weaves the mutants of a file, numbered as given, but for those that are known not to build.
pub(crate) fn weave(
    source: &str,
    mutants: &[(u32, &Mutant)],
    unfit: &BTreeSet<u32>,
    kept_const: &BTreeSet<String>,
    first_site: usize,
) -> Result<Woven> {
    let file = syn::parse_file(source).map_err(|error| anyhow!("{error}"))?;
    let lines = Lines::of(source);
    let mut wanted: HashMap<(Bytes, Genre), Vec<(u32, String)>> = HashMap::new();
    for (number, mutant) in mutants.iter().filter(|(number, _)| !unfit.contains(number)) {
        let bytes = lines.span(source, mutant.span);
        wanted.entry((bytes, mutant.genre)).or_default().push((*number, mutant.replacement.clone()));
    }
    let mut finder = Finder {
        source,
        lines: &lines,
        wanted,
        kept_const,
        nodes: Vec::new(),
        removed: Vec::new(),
        next: first_site,
    };
    finder.visit_file(&file);
    let Finder { mut nodes, removed, .. } = finder;
    // What is only put in stands before what begins there; then outer ones first.
    nodes.sort_by_key(|node| (node.bytes.0, node.bytes.0 != node.bytes.1, std::cmp::Reverse(node.bytes.1)));
    let sites = nodes
        .iter()
        .map(|node| (node.site, node.mutants.iter().map(|(number, _)| *number).collect()))
        .collect();
    let weaver = Weaver { source, nodes, removed };
    Ok(Woven { text: weaver.emit((0, source.len()), None), sites })
}

struct Finder<'a> {
    source: &'a str,
    lines: &'a Lines,
    wanted: HashMap<(Bytes, Genre), Vec<(u32, String)>>,
    kept_const: &'a BTreeSet<String>,
    nodes: Vec<Node>,
    removed: Vec<Bytes>,
    next: usize,
}

impl Finder<'_> {
    fn bytes(&self, span: Span) -> Bytes {
        let (start, end) = (span.start(), span.end());
        (
            self.lines.byte(self.source, start.line, start.column),
            self.lines.byte(self.source, end.line, end.column),
        )
    }

    fn text(&self, span: Span) -> &str {
        let (start, end) = self.bytes(span);
        &self.source[start..end]
    }

    fn take(&mut self, bytes: Bytes, genre: Genre) -> Vec<(u32, String)> {
        self.wanted.remove(&(bytes, genre)).unwrap_or_default()
    }

    fn put(&mut self, bytes: Bytes, shape: Shape, mutants: Vec<(u32, String)>) {
        if !mutants.is_empty() {
            self.nodes.push(Node { bytes, shape, site: self.next, mutants });
            self.next += 1;
        }
    }

    fn function(&mut self, signature: &syn::Signature, block: &syn::Block) -> bool {
        let (name, constness) = (signature.ident.to_string(), signature.constness.as_ref());
        let kept = constness.is_some() && self.kept_const.contains(&name);
        if let Some(token) = constness.filter(|_| !kept) {
            let bytes = self.bytes(token.span());
            self.removed.push(bytes);
        }
        if kept {
            return false;
        }
        // Another iterator in place of an opaque one would be another type.
        let opaque = matches!(&signature.output, syn::ReturnType::Type(_, output) if self.text(output.span()).contains("impl "));
        if let (Some(first), Some(last), false) = (block.stmts.first(), block.stmts.last(), opaque) {
            let (start, end) = (self.bytes(first.span()).0, self.bytes(last.span()).1);
            let mutants = self.take((start, end), Genre::FnValue);
            self.put((start, start), Shape::Body, mutants);
        }
        true
    }
}

fn has_let(expr: &syn::Expr) -> bool {
    match expr {
        syn::Expr::Let(_) => true,
        syn::Expr::Binary(binary) => has_let(&binary.left) || has_let(&binary.right),
        _ => false,
    }
}

impl<'ast> Visit<'ast> for Finder<'_> {
    fn visit_item_const(&mut self, _: &'ast syn::ItemConst) {}

    fn visit_impl_item_const(&mut self, _: &'ast syn::ImplItemConst) {}

    fn visit_item_static(&mut self, _: &'ast syn::ItemStatic) {}

    fn visit_type(&mut self, _: &'ast syn::Type) {}

    fn visit_attribute(&mut self, _: &'ast syn::Attribute) {}

    fn visit_item_fn(&mut self, item: &'ast syn::ItemFn) {
        if self.function(&item.sig, &item.block) {
            visit::visit_item_fn(self, item);
        }
    }

    fn visit_impl_item_fn(&mut self, item: &'ast syn::ImplItemFn) {
        if self.function(&item.sig, &item.block) {
            visit::visit_impl_item_fn(self, item);
        }
    }

    fn visit_expr_repeat(&mut self, expr: &'ast syn::ExprRepeat) {
        self.visit_expr(&expr.expr);
    }

    fn visit_expr_binary(&mut self, expr: &'ast syn::ExprBinary) {
        use syn::BinOp::{AddAssign, And, DivAssign, MulAssign, Or, RemAssign, SubAssign};
        let operator = self.bytes(expr.op.span());
        let (left, right) = (self.bytes(expr.left.span()), self.bytes(expr.right.span()));
        let shape = match expr.op {
            And(_) | Or(_) if has_let(&expr.left) || has_let(&expr.right) => None,
            And(_) | Or(_) => Some(Shape::Logical { left, is_and: matches!(expr.op, And(_)), right }),
            AddAssign(_) | SubAssign(_) | MulAssign(_) | DivAssign(_) | RemAssign(_) => {
                Some(Shape::Assign { place: left, operator, right })
            }
            _ => Some(Shape::Binary { left, operator, right }),
        };
        if let Some(shape) = shape {
            let mutants = self.take(operator, Genre::BinaryOperator);
            self.put((left.0, right.1), shape, mutants);
        }
        visit::visit_expr_binary(self, expr);
    }

    fn visit_expr_unary(&mut self, expr: &'ast syn::ExprUnary) {
        let (operator, operand) = (self.bytes(expr.op.span()), self.bytes(expr.expr.span()));
        let mutants = self.take(operator, Genre::UnaryOperator);
        self.put((operator.0, operand.1), Shape::Unary { operator, operand }, mutants);
        visit::visit_expr_unary(self, expr);
    }

    fn visit_arm(&mut self, arm: &'ast syn::Arm) {
        let (whole, pattern) = (self.bytes(arm.span()), self.bytes(arm.pat.span()));
        // The list's span may leave the comma out.
        let mut mutants = self.take(whole, Genre::MatchArm);
        if mutants.is_empty() && arm.comma.is_some() {
            mutants = self.take((whole.0, self.bytes(arm.body.span()).1), Genre::MatchArm);
        }
        let deleted: Vec<_> = mutants.into_iter().map(|(number, _)| (number, "false".to_owned())).collect();
        if let Some((_, guard)) = &arm.guard {
            let guard_bytes = self.bytes(guard.span());
            if !has_let(guard) {
                let mut all = self.take(guard_bytes, Genre::MatchArmGuard);
                all.extend(deleted);
                self.put(guard_bytes, Shape::Guard { guard: guard_bytes }, all);
            }
        } else {
            self.put((pattern.1, pattern.1), Shape::Arm, deleted);
        }
        visit::visit_arm(self, arm);
    }

    fn visit_expr_struct(&mut self, expr: &'ast syn::ExprStruct) {
        if let Some(base) = &expr.rest {
            let base = self.bytes(base.span());
            for field in &expr.fields {
                let (bytes, value) = (self.bytes(field.span()), self.bytes(field.expr.span()));
                if let syn::Member::Named(name) = &field.member {
                    let mut mutants = self.take(bytes, Genre::StructField);
                    if mutants.is_empty() {
                        // With its comma.
                        let comma = self.source[bytes.1..].find(',').map_or(bytes.1, |at| bytes.1 + at + 1);
                        mutants = self.take((bytes.0, comma), Genre::StructField);
                    }
                    self.put(bytes, Shape::Field { value, base, name: name.to_string() }, mutants);
                }
            }
        }
        visit::visit_expr_struct(self, expr);
    }
}

struct Weaver<'a> {
    source: &'a str,
    nodes: Vec<Node>,
    removed: Vec<Bytes>,
}

impl Weaver<'_> {
    /// The text of a stretch with what is in it woven; of the node itself only what is inside.
    fn emit(&self, (start, end): Bytes, inside: Option<usize>) -> String {
        let (mut out, mut at) = (String::new(), start);
        let first = inside.map_or(0, |index| index + 1);
        let from = self.nodes[first..].partition_point(|node| node.bytes.0 < start) + first;
        for (index, node) in self.nodes.iter().enumerate().skip(from) {
            if node.bytes.0 > end || (node.bytes.0 == end && node.bytes.0 != node.bytes.1) {
                break;
            }
            if node.bytes.0 < at || node.bytes.1 > end {
                continue;
            }
            self.copy(&mut out, at, node.bytes.0);
            self.node(&mut out, index, node);
            at = node.bytes.1;
        }
        self.copy(&mut out, at, end);
        out
    }

    fn copy(&self, out: &mut String, start: usize, end: usize) {
        let mut at = start;
        for (from, to) in self.removed.iter().filter(|(from, to)| *from >= start && *to <= end) {
            out.push_str(&self.source[at..*from]);
            at = *to;
        }
        out.push_str(&self.source[at..end]);
    }

    fn node(&self, out: &mut String, index: usize, node: &Node) {
        let text = |bytes: Bytes| self.emit(bytes, Some(index));
        let raw = |bytes: Bytes| &self.source[bytes.0..bytes.1];
        let site = node.site;
        let switch = format!("match crate::mutant_switch::on({site})");
        let arms = |arm: &dyn Fn(&str) -> String| {
            node.mutants.iter().fold(String::new(), |mut all, (number, replacement)| {
                let _ = writeln!(all, "{number} => {}, /*#{number}*/", arm(replacement));
                all
            })
        };
        let compares = |operator: &str| matches!(operator, "==" | "!=" | "<" | ">" | "<=" | ">=");
        let result = match &node.shape {
            Shape::Binary { left, operator, right } => {
                let reference = if compares(raw(*operator)) { "&" } else { "" };
                let changed = arms(&|replacement| format!("zz_l {replacement} zz_r"));
                let (left, operator, right) = (text(*left), raw(*operator), text(*right));
                format!(
                    "({{ let zz_l = {reference}({left}); let zz_r = {reference}({right}); {switch} {{\n{changed}_ => zz_l {operator} zz_r, /*@{site}*/\n}} }})"
                )
            }
            Shape::Logical { left, is_and, right } => {
                let number = node.mutants[0].0;
                let stop = if *is_and { "==" } else { "!=" };
                let (left, right) = (text(*left), text(*right));
                format!(
                    "({{ let zz_l: bool = {left}; if zz_l == (crate::mutant_switch::on({site}) {stop} {number}) {{ zz_l }} else {{ {right} }} }}) /*@{site}*/\n"
                )
            }
            Shape::Assign { place, operator, right } => {
                let place = text(*place);
                let changed = arms(&|replacement| format!("{place} {replacement} zz_r"));
                let (operator, right) = (raw(*operator), text(*right));
                format!("{{ let zz_r = {right}; {switch} {{\n{changed}_ => {place} {operator} zz_r, /*@{site}*/\n}} }}")
            }
            Shape::Unary { operator, operand } => {
                let changed = arms(&|_| "zz_v".to_owned());
                let (operator, operand) = (raw(*operator), text(*operand));
                format!("({{ let zz_v = {operand}; {switch} {{\n{changed}_ => {operator}zz_v, /*@{site}*/\n}} }})")
            }
            Shape::Guard { guard } => {
                let changed = arms(&str::to_owned);
                format!("({switch} {{\n{changed}_ => ({}), /*@{site}*/\n}})", text(*guard))
            }
            Shape::Arm => {
                let number = node.mutants[0].0;
                format!(" if crate::mutant_switch::on({site}) != {number} /*#{number}*/\n")
            }
            Shape::Body => node.mutants.iter().fold(String::from("\n"), |mut all, (number, replacement)| {
                let _ = writeln!(all, "if crate::mutant_switch::on({site}) == {number} {{ return {replacement}; }} /*#{number}*/");
                all
            }),
            Shape::Field { value, base, name } => {
                let changed = arms(&|_| format!("({}).{name}", raw(*base)));
                format!("{name}: {switch} {{\n{changed}_ => {}, /*@{site}*/\n}}", text(*value))
            }
        };
        out.push_str(&result);
    }
}
