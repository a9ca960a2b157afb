// Text as large as a person wants it.

import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";

import { expect, test } from "./support";

test("every size of text follows the browser's, and what is narrow is measured in text", () => {
  const folder = join(__dirname, "../../web/src/style");
  const found = readdirSync(folder)
    .filter((name) => name.endsWith(".css") && name !== "print.css")
    .flatMap((name) =>
      readFileSync(join(folder, name), "utf8")
        .split("\n")
        .filter((line) => /font(-size)?:[^;]*\dp[xt]/.test(line) || /@media[^{]*width/.test(line))
        .map((line) => `${name}: ${line.trim()}`),
    );
  expect(found).toEqual([]);
});
