//! The public items of the library, read from its source: what a change of them would break, and which lack an example.
//!
//! The compiler holds every `pub` item reachable (`unreachable_pub`), so that all of them are listed, under the module in which
//! they are written.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use quote::ToTokens;
use syn::{Attribute, Fields, ImplItem, Item, TraitItem, Type, Visibility};

/// A public item.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Public {
    /// Its line in the listing.
    pub line: String,
    /// What it is: "fn", "struct", …; fields and variants are part of their type.
    pub kind: &'static str,
    /// Whether its documentation has an example that asserts something.
    pub example: bool,
}

/// All public items of the crate whose root file this is, in order.
///
/// # Panics
/// Where the source does not parse: it has just been compiled.
pub fn public(root: &Path) -> Vec<Public> {
    let mut reader = Reader::default();
    reader.file(root, root.parent().unwrap_or(Path::new("")), "");
    let shown = reader.types.clone();
    reader.impls.retain(|(owner, _)| shown.contains(owner));
    let impls = std::mem::take(&mut reader.impls);
    reader.all.extend(impls.into_iter().map(|(_, item)| item));
    reader.all.sort();
    reader.all.dedup();
    reader.all
}

#[derive(Default)]
struct Reader {
    all: Vec<Public>,
    /// Paths of public types.
    types: BTreeSet<String>,
    /// Methods and traits of types, by the path of the type.
    impls: Vec<(String, Public)>,
}

fn is_pub(vis: &Visibility) -> bool {
    matches!(vis, Visibility::Public(_))
}

/// Text of tokens as one would write it, near enough.
fn text(tokens: impl ToTokens) -> String {
    let mut out = tokens.to_token_stream().to_string().split_whitespace().collect::<Vec<_>>().join(" ");
    for (a, b) in [
        (" :: ", "::"),
        (":: ", "::"),
        (" ::", "::"),
        (" ,", ","),
        (" :", ":"),
        ("& ", "&"),
        (" (", "("),
        ("( ", "("),
        (" )", ")"),
        (" <", "<"),
        ("< ", "<"),
        (" >", ">"),
        ("[ ", "["),
        (" ]", "]"),
        (" ;", ";"),
        ("->", " ->"),
        ("  ", " "),
    ] {
        out = out.replace(a, b);
    }
    out.replace("->(", "-> (").replace(" - >", " ->")
}

/// A signature with the whole path in the place of the name.
fn signature(sig: &syn::Signature, path: &str) -> String {
    text(sig).replacen(&format!("fn {}", sig.ident), &format!("fn {path}"), 1)
}

fn docs(attrs: &[Attribute]) -> String {
    let lines = attrs.iter().filter(|a| a.path().is_ident("doc")).filter_map(|a| match &a.meta {
        syn::Meta::NameValue(pair) => Some(text(&pair.value)),
        _ => None,
    });
    lines.collect::<Vec<_>>().join("\n")
}

fn has_example(attrs: &[Attribute]) -> bool {
    let docs = docs(attrs);
    docs.contains("```") && docs.contains("assert")
}

fn is_test(attrs: &[Attribute]) -> bool {
    attrs.iter().any(|a| a.path().is_ident("cfg") && text(&a.meta).contains("test"))
}

/// Derived traits, and whether more fields or variants may come.
fn marks(attrs: &[Attribute]) -> String {
    let of = |a: &Attribute| match () {
        () if a.path().is_ident("derive") => Some(text(&a.meta)),
        () if a.path().is_ident("non_exhaustive") => Some("non_exhaustive".to_owned()),
        () => None,
    };
    let marks: Vec<String> = attrs.iter().filter_map(of).collect();
    if marks.is_empty() { String::new() } else { format!(" [{}]", marks.join(", ")) }
}

fn fields(fields: &Fields, only_pub: bool) -> String {
    let mut hidden = false;
    let mut out = Vec::new();
    for f in fields {
        if only_pub && !is_pub(&f.vis) {
            hidden = true;
            continue;
        }
        let name = f.ident.as_ref().map_or(String::new(), |i| format!("{i}: "));
        out.push(name + &text(&f.ty));
    }
    if hidden {
        out.push("..".into());
    }
    if out.is_empty() { String::new() } else { format!(" {{ {} }}", out.join(", ")) }
}

impl Reader {
    fn add(&mut self, kind: &'static str, line: String, attrs: &[Attribute]) {
        self.all.push(Public { line, kind, example: has_example(attrs) });
    }

    fn file(&mut self, path: &Path, dir: &Path, module: &str) {
        let source = std::fs::read_to_string(path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
        let file = syn::parse_file(&source).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
        self.items(&file.items, dir, module);
    }

    fn items(&mut self, items: &[Item], dir: &Path, module: &str) {
        let at = |name: &dyn ToString| {
            if module.is_empty() { name.to_string() } else { format!("{module}::{}", name.to_string()) }
        };
        for item in items {
            match item {
                Item::Mod(m) if is_test(&m.attrs) => {}
                Item::Mod(m) => {
                    let path = at(&m.ident);
                    if is_pub(&m.vis) {
                        self.add("mod", format!("mod {path}"), &[]);
                    }
                    let inner = dir.join(m.ident.to_string());
                    match &m.content {
                        Some((_, items)) => self.items(items, &inner, &path),
                        None => {
                            let flat: PathBuf = dir.join(format!("{}.rs", m.ident));
                            let file = if flat.exists() { flat } else { inner.join("mod.rs") };
                            self.file(&file, &inner, &path);
                        }
                    }
                }
                Item::Fn(f) if is_pub(&f.vis) => {
                    self.add("fn", signature(&f.sig, &at(&f.sig.ident)), &f.attrs)
                }
                Item::Struct(s) if is_pub(&s.vis) => {
                    self.types.insert(at(&s.ident));
                    let line = format!(
                        "struct {}{}{}{}",
                        at(&s.ident),
                        text(&s.generics),
                        fields(&s.fields, true),
                        marks(&s.attrs)
                    );
                    self.add("struct", line, &s.attrs);
                }
                Item::Enum(e) if is_pub(&e.vis) => {
                    self.types.insert(at(&e.ident));
                    let variants: Vec<String> = e
                        .variants
                        .iter()
                        .map(|v| format!("{}{}", v.ident, fields(&v.fields, false)))
                        .collect();
                    let line = format!("enum {} | {}{}", at(&e.ident), variants.join(" | "), marks(&e.attrs));
                    self.add("enum", line, &e.attrs);
                }
                Item::Trait(t) if is_pub(&t.vis) => {
                    self.types.insert(at(&t.ident));
                    let of = |i: &TraitItem| match i {
                        TraitItem::Fn(f) => Some(text(&f.sig)),
                        other => Some(text(other)),
                    };
                    let items: Vec<String> = t.items.iter().filter_map(of).collect();
                    let line = format!("trait {} {{ {} }}", at(&t.ident), items.join("; "));
                    self.add("trait", line, &t.attrs);
                }
                Item::Const(c) if is_pub(&c.vis) => {
                    self.add("const", format!("const {}: {}", at(&c.ident), text(&c.ty)), &c.attrs)
                }
                Item::Static(c) if is_pub(&c.vis) => {
                    self.add("static", format!("static {}: {}", at(&c.ident), text(&c.ty)), &c.attrs)
                }
                Item::Type(t) if is_pub(&t.vis) => {
                    let line = format!("type {}{} = {}", at(&t.ident), text(&t.generics), text(&t.ty));
                    self.add("type", line, &t.attrs)
                }
                Item::Use(u) if is_pub(&u.vis) => {
                    self.add("use", format!("use {module} {}", text(&u.tree)), &u.attrs)
                }
                Item::Impl(i) if !is_test(&i.attrs) => self.methods(i, module),
                _ => {}
            }
        }
    }

    fn methods(&mut self, i: &syn::ItemImpl, module: &str) {
        let Type::Path(owner) = &*i.self_ty else { return };
        let Some(name) = owner.path.segments.last().map(|s| s.ident.to_string()) else { return };
        let owner = if module.is_empty() { name.clone() } else { format!("{module}::{name}") };
        if let Some((of, _)) = &i.trait_ {
            let line = format!("impl {} for {owner}", text(of));
            self.impls.push((owner, Public { line, kind: "impl", example: false }));
            return;
        }
        for item in &i.items {
            let (kind, line, attrs) = match item {
                ImplItem::Fn(f) if is_pub(&f.vis) => {
                    ("method", signature(&f.sig, &format!("{owner}::{}", f.sig.ident)), &f.attrs)
                }
                ImplItem::Const(c) if is_pub(&c.vis) => {
                    ("const", format!("const {owner}::{}: {}", c.ident, text(&c.ty)), &c.attrs)
                }
                _ => continue,
            };
            // Written in a file beside its type: found by its name, whatever the module.
            self.impls.push((self.owner(&owner, &name), Public { line, kind, example: has_example(attrs) }));
        }
    }

    /// The path of the type of this name: here, or in the nearest module around.
    fn owner(&self, path: &str, name: &str) -> String {
        let mut module = path.rsplit_once("::").map_or("", |(m, _)| m);
        loop {
            let here = if module.is_empty() { name.to_owned() } else { format!("{module}::{name}") };
            if self.types.contains(&here) || module.is_empty() {
                return here;
            }
            module = module.rsplit_once("::").map_or("", |(m, _)| m);
        }
    }
}
