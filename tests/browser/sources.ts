// The page's own sources, for tests that read them.

import { readdirSync, readFileSync, statSync } from "node:fs";
import { join, relative } from "node:path";

export const source = join(__dirname, "../../web/src");

/** Every file of TypeScript in a folder, but what is generated from Rust. */
export function files(folder: string): string[] {
  return readdirSync(folder).flatMap((name) => {
    const path = join(folder, name);
    if (statSync(path).isDirectory()) return files(path);
    return /\.tsx?$/.test(name) && !name.startsWith("generated") ? [path] : [];
  });
}

export const read = (path: string): string => readFileSync(path, "utf8");

/** As it is named in a failure. */
export const named = (path: string): string => relative(source, path);

/** Code alone, its lines where they were. */
export const withoutComments = (code: string): string =>
  code.replace(/\/\*[\s\S]*?\*\/|(?<![:"'`\w])\/\/.*$/gm, (comment) => comment.replace(/[^\n]/g, " "));
