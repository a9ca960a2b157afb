//! The project's own sources, read as Rust: which file is which module and what it names.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use syn::visit::Visit;
use syn::{Item, UseTree};

/// The folder of the whole project.
pub(crate) fn project() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

/// A crate's sources: the modules that are compiled into it, those of tests left out.
#[derive(Default)]
pub(crate) struct Sources {
    /// By path from the crate's root: `[]`, `["cuts"]`, `["cuts", "tree"]`.
    pub(crate) modules: BTreeMap<Vec<String>, Module>,
}

/// A module and the file it stands in.
pub(crate) struct Module {
    pub(crate) file: PathBuf,
    /// Names that it defines itself.
    defines: BTreeSet<String>,
    /// Names that it brings in, with the path that each stands for.
    imports: BTreeMap<String, Vec<String>>,
    /// Every path that it names, as written.
    pub(crate) paths: BTreeSet<Vec<String>>,
    /// Functions, methods and constants that it gives to other crates, by name.
    pub(crate) offers: BTreeSet<String>,
    /// How often it says each word.
    pub(crate) words: BTreeMap<String, usize>,
}

impl Sources {
    /// Reads a crate from its `src/lib.rs` or `src/main.rs`; none where it has neither.
    pub(crate) fn of(folder: &Path) -> Option<Sources> {
        let roots = ["src/lib.rs", "src/main.rs"].map(|f| folder.join(f));
        let root = roots.into_iter().find(|f| f.is_file())?;
        let mut sources = Sources::default();
        sources.read(&root, Vec::new());
        Some(sources)
    }

    fn read(&mut self, file: &Path, path: Vec<String>) {
        let text =
            std::fs::read_to_string(file).unwrap_or_else(|e| panic!("{}: {e}", file.display()));
        let parsed = syn::parse_file(&text).unwrap_or_else(|e| panic!("{}: {e}", file.display()));
        self.take(file, path, &parsed.items);
    }

    fn take(&mut self, file: &Path, path: Vec<String>, items: &[Item]) {
        let mut module = Module {
            file: file.to_owned(),
            defines: BTreeSet::new(),
            imports: BTreeMap::new(),
            paths: BTreeSet::new(),
            offers: BTreeSet::new(),
            words: BTreeMap::new(),
        };
        for item in items.iter().filter(|item| !is_for_tests(item)) {
            module.defines.extend(name_of(item));
            match item {
                Item::Mod(inner) => {
                    let mut inside = path.clone();
                    inside.push(inner.ident.to_string());
                    match &inner.content {
                        Some((_, items)) => self.take(file, inside, items),
                        None => self.read(&file_of(file, &path, &inner.ident.to_string()), inside),
                    }
                }
                Item::Use(used) => flatten(&used.tree, &mut Vec::new(), &mut |path, name| {
                    module.paths.insert(path.to_vec());
                    module.imports.insert(name.to_owned(), path.to_vec());
                }),
                other => {
                    Names(&mut module.paths).visit_item(other);
                    module.offers.extend(offered(other));
                }
            }
            if !matches!(item, Item::Mod(_)) {
                Words(&mut module.words).visit_item(item);
            }
        }
        self.modules.insert(path, module);
    }

    /// The file of what a path names, seen from a module; none for what lies outside the crate.
    pub(crate) fn resolve(&self, from: &[String], path: &[String]) -> Option<PathBuf> {
        self.find(from, path, 0)
            .map(|m| self.modules[&m].file.clone())
    }

    fn find(&self, from: &[String], path: &[String], depth: usize) -> Option<Vec<String>> {
        let first = path.first()?;
        let (mut at, mut rest) = match first.as_str() {
            "crate" => (Vec::new(), &path[1..]),
            "self" => (from.to_vec(), &path[1..]),
            "super" => (from[..from.len().checked_sub(1)?].to_vec(), &path[1..]),
            _ => {
                let module = self.modules.get(from)?;
                let mut inside = from.to_vec();
                inside.push(first.clone());
                if self.modules.contains_key(&inside) {
                    (from.to_vec(), path)
                } else if let (Some(stands_for), true) = (module.imports.get(first), path.len() > 1)
                {
                    let whole: Vec<String> = stands_for.iter().chain(&path[1..]).cloned().collect();
                    return if depth < 8 {
                        self.find(from, &whole, depth + 1)
                    } else {
                        None
                    };
                } else {
                    return None;
                }
            }
        };
        while let [name, ..] = rest {
            if name == "super" {
                at.pop()?;
            } else {
                let mut inside = at.clone();
                inside.push(name.clone());
                if !self.modules.contains_key(&inside) {
                    break;
                }
                at = inside;
            }
            rest = &rest[1..];
        }
        let module = self.modules.get(&at)?;
        match rest.first() {
            Some(name) if !module.defines.contains(name) && depth < 8 => {
                match module.imports.get(name) {
                    Some(stands_for) => self.find(&at, stands_for, depth + 1).or(Some(at)),
                    None => Some(at),
                }
            }
            _ => Some(at),
        }
    }

    /// Which file names something of which other file. What a folder's own file defines is there for the
    /// files within the folder, so these may name it.
    pub(crate) fn edges(&self) -> BTreeMap<PathBuf, BTreeSet<PathBuf>> {
        let mut edges: BTreeMap<PathBuf, BTreeSet<PathBuf>> = BTreeMap::new();
        for (path, module) in &self.modules {
            let here = edges.entry(module.file.clone()).or_default();
            let above: BTreeSet<&PathBuf> = (0..path.len())
                .filter_map(|n| self.modules.get(&path[..n]))
                .map(|m| &m.file)
                .collect();
            let named = module.paths.iter().filter_map(|p| self.resolve(path, p));
            here.extend(named.filter(|file| *file != module.file && !above.contains(file)));
        }
        edges
    }
}

/// The file of a module declared in another's.
fn file_of(file: &Path, path: &[String], name: &str) -> PathBuf {
    let folder = file.parent().unwrap_or(Path::new(""));
    let stem = file.file_stem().unwrap_or_default().to_string_lossy();
    let folder = match stem.as_ref() {
        "mod" | "lib" | "main" => folder.to_owned(),
        _ if path.is_empty() => folder.to_owned(),
        stem => folder.join(stem),
    };
    let plain = folder.join(format!("{name}.rs"));
    if plain.is_file() {
        plain
    } else {
        folder.join(name).join("mod.rs")
    }
}

fn is_for_tests(item: &Item) -> bool {
    let attributes = match item {
        Item::Mod(i) => &i.attrs,
        Item::Use(i) => &i.attrs,
        Item::Fn(i) => &i.attrs,
        Item::Impl(i) => &i.attrs,
        _ => return false,
    };
    attributes.iter().any(|a| {
        a.path().is_ident("cfg")
            && a.meta
                .require_list()
                .is_ok_and(|list| list.tokens.to_string() == "test")
    })
}

fn name_of(item: &Item) -> Option<String> {
    let name = match item {
        Item::Const(i) => &i.ident,
        Item::Enum(i) => &i.ident,
        Item::Fn(i) => &i.sig.ident,
        Item::Static(i) => &i.ident,
        Item::Struct(i) => &i.ident,
        Item::Trait(i) => &i.ident,
        Item::Type(i) => &i.ident,
        Item::Macro(i) => i.ident.as_ref()?,
        _ => return None,
    };
    Some(name.to_string())
}

/// Calls back with each path that a `use` brings in and the name it has here.
fn flatten(tree: &UseTree, so_far: &mut Vec<String>, tell: &mut impl FnMut(&[String], &str)) {
    let depth = so_far.len();
    match tree {
        UseTree::Path(path) => {
            so_far.push(path.ident.to_string());
            flatten(&path.tree, so_far, tell);
        }
        UseTree::Name(name) => {
            let name = name.ident.to_string();
            if name == "self" {
                let last = so_far.last().cloned().unwrap_or_default();
                tell(so_far, &last);
            } else {
                so_far.push(name.clone());
                tell(so_far, &name);
            }
        }
        UseTree::Rename(renamed) => {
            so_far.push(renamed.ident.to_string());
            tell(so_far, &renamed.rename.to_string());
        }
        UseTree::Glob(_) => tell(so_far, "*"),
        UseTree::Group(group) => {
            for tree in &group.items {
                flatten(tree, so_far, tell);
            }
        }
    }
    so_far.truncate(depth);
}

struct Names<'a>(&'a mut BTreeSet<Vec<String>>);

impl<'ast> Visit<'ast> for Names<'_> {
    // `pub(super)` names no item.
    fn visit_visibility(&mut self, _: &'ast syn::Visibility) {}

    fn visit_path(&mut self, path: &'ast syn::Path) {
        let names = path.segments.iter().map(|s| s.ident.to_string());
        self.0.insert(names.collect());
        syn::visit::visit_path(self, path);
    }
}

/// The functions, methods and constants of an item that any crate may use.
fn offered(item: &Item) -> Vec<String> {
    let is_public = |v: &syn::Visibility| matches!(v, syn::Visibility::Public(_));
    match item {
        Item::Fn(i) if is_public(&i.vis) => vec![i.sig.ident.to_string()],
        Item::Const(i) if is_public(&i.vis) => vec![i.ident.to_string()],
        Item::Impl(i) if i.trait_.is_none() => {
            let members = i.items.iter().filter_map(|member| match member {
                syn::ImplItem::Fn(f) if is_public(&f.vis) => Some(f.sig.ident.to_string()),
                syn::ImplItem::Const(c) if is_public(&c.vis) => Some(c.ident.to_string()),
                _ => None,
            });
            members.collect()
        }
        _ => Vec::new(),
    }
}

struct Words<'a>(&'a mut BTreeMap<String, usize>);

impl Words<'_> {
    fn say(&mut self, word: String) {
        *self.0.entry(word).or_default() += 1;
    }

    fn say_all(&mut self, tokens: proc_macro2::TokenStream) {
        for token in tokens {
            match token {
                proc_macro2::TokenTree::Ident(word) => self.say(word.to_string()),
                proc_macro2::TokenTree::Group(group) => self.say_all(group.stream()),
                proc_macro2::TokenTree::Punct(_) => {}
                // Attributes name functions in text.
                proc_macro2::TokenTree::Literal(text) => {
                    let text = text.to_string();
                    for word in text.split(|c: char| !c.is_alphanumeric() && c != '_') {
                        self.say(word.to_owned());
                    }
                }
            }
        }
    }
}

impl<'ast> Visit<'ast> for Words<'_> {
    fn visit_ident(&mut self, word: &'ast syn::Ident) {
        self.say(word.to_string());
    }

    fn visit_macro(&mut self, called: &'ast syn::Macro) {
        self.say_all(called.tokens.clone());
    }

    fn visit_attribute(&mut self, attribute: &'ast syn::Attribute) {
        if let syn::Meta::List(list) = &attribute.meta {
            self.say_all(list.tokens.clone());
        }
    }
}
