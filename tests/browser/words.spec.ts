// Every sentence that the page itself says stands in web/src/text, so that a translation touches
// that folder alone.

import { join } from "node:path";

import { expect, test } from "@playwright/test";

import { text } from "../../web/src/text";
import { counted, listed } from "../../web/src/text/counted";
import { files, named, read, source, withoutComments } from "./sources";

/** Literals of several words that nobody reads: media, selectors, names under which something is stored or asked for. */
const unread = new Set([
  '"(prefers-color-scheme: dark)"',
  '"(pointer: coarse)"',
  '"button, input, select, textarea, a[href], summary, [tabindex]"',
  '"input:not([type=checkbox], [type=radio]), textarea"',
  '".sheet-body h2, .sheet-body h3"',
  '".floor .button, .floor"',
  '".top button"',
  '"pasted list"',
  '"typed boards"',
  '"opening a file"',
  '"no answer"',
  "`draft ${job}`",
  "`@page{size:${SIZE[paper]} landscape;margin:0}@page standing{size:${SIZE[paper]} portrait;margin:0}`",
]);

/** What may stand before a literal that nobody reads: classes, imports, selectors, faults of ours. */
const before = /(?:class(?:Name)?(?:: extra)? ?=\{?|class: |from |Error\(|(?:querySelector(?:All)?|closest|matches)(?:<\w+>)?\()$/;

/** Attributes and properties whose text is shown or read aloud. */
const told = /(?:^|[\s{,(])(title|alt|placeholder|aria-label|heading|label|addLabel|hint|shown|legend)(?:=|=\{|: )$/;

/** Text between tags, on one line or on a line of its own. */
const betweenTags = /(?:(?<!=)>|\})[^<>{}=;()]*[A-Za-z]{2}[^<>{}=;()]*<\/|^\s+(?:[A-Z][a-z]+(?: [a-z]+)*|[A-Za-z]+(?: [A-Za-z]+)+[.!?…]?)$/gm;

function sentences(path: string): string[] {
  const code = withoutComments(read(path));
  const found: string[] = [];
  const tell = (at: number, words: string): void => void found.push(`${named(path)}:${code.slice(0, at).split("\n").length}: ${words.trim()}`);
  for (const match of code.matchAll(/"(?:[^"\\\n]|\\.)*"|`(?:[^`\\]|\\.)*`/g)) {
    const [literal] = match;
    const shape = literal.slice(1, -1).replace(/\$\{[^{}]*\}/g, "${}");
    const words = shape.replaceAll("${}", " ");
    const line = code.slice(0, match.index).split("\n").at(-1) ?? "";
    // Paths of drawings and transforms are figures with a letter here and there.
    const areWords = /[A-Za-z]{2}/.test(words) && (/[A-Za-z][,.:]? (?:[A-Za-z]|\$)|\$\{\},? [A-Za-z]/.test(shape) || told.test(line));
    const isStyle = /^(?:translate|calc|scale)\(|^data:|^[\w-]+(?:\.[\w-]+)+$/.test(words.trim()) || /[[\]#]|var\(--/.test(words);
    if (areWords && !isStyle && !before.test(line) && !unread.has(literal)) tell(match.index, literal);
  }
  if (path.endsWith(".tsx")) {
    for (const match of code.matchAll(betweenTags)) tell(match.index + match[0].length - match[0].trimStart().length, match[0]);
  }
  return found;
}

test("no file but those of the catalogue holds a sentence", () => {
  const catalogue = join(source, "text");
  const found = files(source).filter((path) => !path.startsWith(catalogue)).flatMap(sentences);
  expect(found).toEqual([]);
});

test("the catalogue holds nothing that nobody says", () => {
  const catalogue = join(source, "text");
  const code = files(source).filter((path) => !path.startsWith(catalogue)).map(read).join("\n");
  const unsaid: string[] = [];
  for (const [place, sentences] of Object.entries(text)) {
    // Of these a name is asked for by what it names.
    if (code.includes(`text.${place}[`)) continue;
    for (const key of Object.keys(sentences)) {
      if (!new RegExp(`text\\.${place}(?:\\.${key}\\b|\\[)`).test(code)) unsaid.push(`${place}.${key}`);
    }
  }
  expect(unsaid).toEqual([]);
});

test("numbers and lists are told in words", () => {
  const forms = { one: "# cut", other: "# cuts" };
  expect([0, 1, 2, 21].map((count) => counted(count, forms))).toEqual(["0 cuts", "1 cut", "2 cuts", "21 cuts"]);
  expect([[], ["A"], ["A", "B"], ["A", "B", "C"]].map(listed)).toEqual(["", "A", "A and B", "A, B and C"]);
});
