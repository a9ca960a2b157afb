//! TypeScript types of the core, committed so that editors know them without a build.

use crate::core_module::CoreModule;
use crate::fault::{Fault, Outcome, write_file};
use crate::project::Project;

const FILE: &str = "web/src/protocol/generated.d.ts";
const HEADER: &str = "// Generated from crates/app and crates/wasm by `cargo xtask types`. Change the Rust types, then run it again.\n\n";

/// Writes the types into the page's sources.
pub(crate) fn write(project: &Project, core: &CoreModule) -> Outcome<()> {
    write_file(&project.at(FILE), committed_form(&core.types))?;
    println!("{FILE}");
    Ok(())
}

/// Compares the committed types with what the core has now.
///
/// # Errors
/// Names the command that brings them up to date, and the first line that differs.
pub(crate) fn check(project: &Project, core: &CoreModule) -> Outcome<()> {
    let committed = std::fs::read_to_string(project.at(FILE)).unwrap_or_default();
    compare(&committed, &committed_form(&core.types))
}

fn compare(committed: &str, fresh: &str) -> Outcome<()> {
    if committed == fresh {
        return Ok(());
    }
    let same = committed
        .lines()
        .zip(fresh.lines())
        .take_while(|(old, new)| old == new)
        .count();
    let (old, new) = (committed.lines().nth(same), fresh.lines().nth(same));
    Err(Fault::new(format!(
        "{FILE} is out of date at line {}:\n  committed: {}\n  now:       {}",
        same + 1,
        old.unwrap_or("(end of file)"),
        new.unwrap_or("(end of file)")
    ))
    .mended_by("cargo xtask types"))
}

/// The types in the form that is committed.
///
/// The raw exports (`InitOutput`) carry names that change with the compiler, and declarations
/// come in the linker's order. The page uses no raw export but the memory, and order means
/// nothing in a declaration file; so the one is left out and the other sorted, and every
/// compiler gives the same file.
fn committed_form(types: &str) -> String {
    let mut declarations: Vec<String> = split(types)
        .into_iter()
        .map(|declaration| {
            if declaration.contains("export interface InitOutput {") {
                "export interface InitOutput {\n    readonly memory: WebAssembly.Memory;\n}"
                    .to_owned()
            } else {
                declaration
            }
        })
        .collect();
    declarations.sort_by_cached_key(|declaration| {
        let code: Vec<_> = declaration
            .lines()
            .skip_while(|line| is_comment(line))
            .collect();
        code.join("\n")
    });
    declarations.dedup();
    format!("{HEADER}{}\n", declarations.join("\n\n"))
}

fn is_comment(line: &str) -> bool {
    let line = line.trim_start();
    line.starts_with("/*") || line.starts_with('*') || line.starts_with("//")
}

/// Splits a declaration file into its top-level declarations, each with its leading comment.
///
/// A declaration starts at a line that is not indented and is neither a comment nor a closing
/// bracket, the way both generators write them.
fn split(types: &str) -> Vec<String> {
    let mut declarations = Vec::new();
    let mut current: Vec<&str> = Vec::new();
    let mut has_code = false;
    for line in types.lines() {
        let line = line.trim_end();
        if matches!(line, "/* tslint:disable */" | "/* eslint-disable */") {
            continue;
        }
        let starts = line.starts_with("export ")
            || line.starts_with("/**")
            || line.starts_with("type ")
            || line.starts_with("interface ")
            || line.starts_with("declare ");
        if starts && has_code {
            finish(&mut current, &mut declarations);
            has_code = false;
        }
        has_code |= !line.is_empty() && !is_comment(line);
        current.push(line);
    }
    finish(&mut current, &mut declarations);
    declarations
}

fn finish(current: &mut Vec<&str>, declarations: &mut Vec<String>) {
    let text = current.join("\n").trim().to_owned();
    current.clear();
    if !text.is_empty() {
        declarations.push(text);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const RAW: &str = "/* tslint:disable */\n/* eslint-disable */\n\
        /**\n * A board.\n */\nexport interface Board {\n    id: string;\n}\n\n\
        export type Angle = number;\n\n\
        export class Session {\n  free(): void;\n  /**\n   * Looks.\n   */\n  look(): Board;\n}\n\
        export interface InitOutput {\n  readonly memory: WebAssembly.Memory;\n  readonly x__h0a1b2: (a: number) => void;\n}\n";

    #[test]
    fn every_declaration_keeps_its_comment_and_body() {
        let form = committed_form(RAW);
        assert!(
            form.contains("/**\n * A board.\n */\nexport interface Board {\n    id: string;\n}"),
            "{form}"
        );
        assert!(
            form.contains("  /**\n   * Looks.\n   */\n  look(): Board;\n}"),
            "{form}"
        );
    }

    #[test]
    fn order_and_raw_exports_do_not_matter() {
        let form = committed_form(RAW);
        assert!(!form.contains("h0a1b2"), "{form}");
        let mut turned = split(RAW);
        turned.reverse();
        let turned = turned.join("\n").replace("h0a1b2", "hffff");
        assert_eq!(committed_form(&turned), form);
    }

    #[test]
    fn stale_types_are_told_with_the_command_that_mends_them() {
        let fresh = committed_form(RAW);
        assert_eq!(compare(&fresh, &fresh), Ok(()));
        let stale = fresh.replace("id: string", "id: number");
        let fault = compare(&stale, &fresh).unwrap_err().to_string();
        assert!(fault.contains("mend: cargo xtask types"), "{fault}");
        assert!(
            fault.contains("id: number") && fault.contains("id: string"),
            "{fault}"
        );
        assert!(compare("", &fresh).is_err());
    }
}
