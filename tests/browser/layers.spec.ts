// Imports of the page point one way: view -> state and gestures -> protocol. What computes
// knows nothing of elements, and nothing knows the view but main.ts.

import { dirname, join, normalize } from "node:path";

import { expect, test } from "@playwright/test";

import { actions } from "../../web/src/state/actions";
import { text } from "../../web/src/text";
import { files, named, read, source, withoutComments } from "./sources";

/** What a folder may import, besides itself and packages. */
const allowed: Record<string, readonly string[]> = {
  protocol: [],
  gestures: [],
  text: [],
  worker: ["protocol", "text"],
  state: ["protocol", "text", "solver-client.ts"],
  "solver-client.ts": ["protocol"],
  view: ["state", "gestures", "protocol", "text"],
  "built-in.ts": [],
  "joined.ts": [],
  "packed.ts": [],
  "cannot-start.ts": ["text"],
  "run-script.ts": ["cannot-start.ts", "text"],
  "start.ts": ["cannot-start.ts", "packed.ts", "run-script.ts", "text"],
  "unpacker.ts": ["built-in.ts", "cannot-start.ts", "joined.ts", "packed.ts", "run-script.ts"],
};

const layerOf = (path: string): string => named(path).split("/")[0] ?? "";

test("imports point one way", () => {
  const wrong: string[] = [];
  for (const file of files(source)) {
    const layer = layerOf(file);
    // It joins the parts, and so knows them all.
    if (layer === "main.ts") continue;
    const may = allowed[layer];
    if (may === undefined) {
      wrong.push(`${layer} is a new layer: say in the table what it may import`);
      continue;
    }
    for (const [, target = ""] of read(file).matchAll(/from "(\.[^"]+)"/g)) {
      const path = normalize(join(dirname(file), target));
      const other = layerOf(path);
      const reached = ["solver-client", "built-in", "joined", "packed", "cannot-start", "run-script"].includes(other) ? `${other}.ts` : other;
      if (reached !== layer && !may.includes(reached)) wrong.push(`${named(file)} imports ${target}`);
    }
  }
  expect(wrong).toEqual([]);
});

/** Words by which code reaches for elements; comments speak of windows and documents freely. */
const elements = /\b(?:document|window)\.(?!\.)|\b(?:HTML|SVG)\w*Element\b|\bquerySelector|\bgetComputedStyle\b/;

test("gestures and state touch no elements of the page", () => {
  for (const layer of ["gestures", "state"]) {
    const found = files(join(source, layer));
    expect(found.length, layer).toBeGreaterThan(2);
    const touching = found.flatMap((file) => {
      const at = elements.exec(withoutComments(read(file)));
      return at === null ? [] : [`${named(file)}: ${at[0]}`];
    });
    expect(touching, layer).toEqual([]);
  }
});

test("every file says in its first line what it is for, and none is overlong", () => {
  for (const file of files(source)) {
    const lines = read(file).split("\n");
    expect(lines[0], named(file)).toMatch(/^\/\/ /);
    expect(lines.length, named(file)).toBeLessThan(310);
  }
});

test("no two files need each other, nor a ring of them", () => {
  const all = files(source);
  const needs = new Map(
    all.map((file) => {
      const targets = [...read(file).matchAll(/from "(\.[^"]+)"/g)].map(([, target = ""]) => normalize(join(dirname(file), target)));
      const own = targets.flatMap((target) => all.filter((each) => each.replace(/(\/index)?\.tsx?$/, "") === target));
      return [file, own] as const;
    }),
  );
  expect([...needs.values()].flat().length).toBeGreaterThan(100);
  const done = new Set<string>();
  const rings: string[] = [];
  const follow = (file: string, way: readonly string[]): void => {
    if (way.includes(file)) rings.push([...way.slice(way.indexOf(file)), file].map(named).join(" -> "));
    if (done.has(file) || way.includes(file)) return;
    for (const next of needs.get(file) ?? []) follow(next, [...way, file]);
    done.add(file);
  };
  for (const file of all) follow(file, []);
  expect(rings).toEqual([]);
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
  expect(actions.map((action) => action.id).sort()).toEqual(Object.keys(text.actions).sort());
});

test("what a file exports, another one uses", () => {
  const codes = new Map(files(source).map((file) => [file, withoutComments(read(file))]));
  const unused: string[] = [];
  for (const [file, code] of codes) {
    for (const [, name = ""] of code.matchAll(/^export (?:async )?(?:const|function|class) (\w+)/gm)) {
      const word = new RegExp(`\\b${name}\\b`);
      if (![...codes].some(([other, text]) => other !== file && word.test(text))) unused.push(`${named(file)}: ${name}`);
    }
  }
  expect(unused).toEqual([]);
});
