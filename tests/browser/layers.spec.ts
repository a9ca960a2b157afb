// Imports of the page point one way: view -> state and gestures -> protocol. What computes
// knows nothing of elements, and nothing knows the view but main.ts.

import { readdirSync, readFileSync, statSync } from "node:fs";
import { dirname, join, normalize, relative } from "node:path";

import { expect, test } from "@playwright/test";

import { actions } from "../../web/src/state/actions";

const source = join(__dirname, "../../web/src");

/** What a folder may import, besides itself and packages. */
const allowed: Record<string, readonly string[]> = {
  protocol: [],
  gestures: [],
  worker: ["protocol"],
  state: ["protocol", "text.ts", "solver-client.ts"],
  "solver-client.ts": ["protocol"],
  view: ["state", "gestures", "protocol", "text.ts"],
  "text.ts": [],
  "built-in.ts": ["packed.ts"],
  "packed.ts": [],
  "cannot-start.ts": ["text.ts"],
  "start.ts": ["cannot-start.ts", "packed.ts", "text.ts"],
};

function files(folder: string): string[] {
  return readdirSync(folder).flatMap((name) => {
    const path = join(folder, name);
    if (statSync(path).isDirectory()) return files(path);
    return /\.tsx?$/.test(name) && !name.startsWith("generated") ? [path] : [];
  });
}

const layerOf = (path: string): string => relative(source, path).split("/")[0] ?? "";

test("imports point one way", () => {
  const wrong: string[] = [];
  for (const file of files(source)) {
    const layer = layerOf(file);
    const may = allowed[layer];
    if (may === undefined) continue;
    for (const [, target = ""] of readFileSync(file, "utf8").matchAll(/from "(\.[^"]+)"/g)) {
      const path = normalize(join(dirname(file), target));
      const other = layerOf(path);
      const named = other.includes(".") || !["text", "solver-client", "built-in", "packed", "cannot-start"].includes(other) ? other : `${other}.ts`;
      if (named !== layer && !may.includes(named)) wrong.push(`${relative(source, file)} imports ${target}`);
    }
  }
  expect(wrong).toEqual([]);
});

test("gestures and state touch no elements of the page", () => {
  const touching = files(join(source, "gestures")).filter((file) => /\bdocument\.|\bwindow\./.test(readFileSync(file, "utf8")));
  expect(touching.map((file) => relative(source, file))).toEqual([]);
});

test("every file says in its first line what it is for, and none is overlong", () => {
  for (const file of files(source)) {
    const lines = readFileSync(file, "utf8").split("\n");
    if (file.endsWith("app-context.ts")) continue;
    expect(lines[0], relative(source, file)).toMatch(/^\/\/ /);
    expect(lines.length, relative(source, file)).toBeLessThan(560);
  }
});

test("no two actions share a key, and each has a name and a key of its own", () => {
  const seen = new Map<string, string>();
  for (const action of actions) {
    expect(action.keys.length, action.id).toBeGreaterThan(0);
    for (const wanted of action.keys) {
      const written = JSON.stringify([wanted.key.toLowerCase(), wanted.ctrl ?? false, wanted.shift ?? false, wanted.alt ?? false]);
      expect(seen.get(written), `${action.id} and ${seen.get(written)} share ${written}`).toBeUndefined();
      seen.set(written, action.id);
    }
  }
  expect(new Set(actions.map((action) => action.id)).size).toBe(actions.length);
});
