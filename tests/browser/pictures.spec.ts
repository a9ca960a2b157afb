// Pictures of every fixture as the command writes them, drawn by librsvg and by Chromium: the same, but for
// how each of them smooths an edge and spaces letters. How far they differ is told.

import { execFileSync } from "node:child_process";
import { mkdtempSync, readdirSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

import { expect, test, type Page } from "@playwright/test";

const root = join(__dirname, "../..");
const target = process.env["CARGO_TARGET_DIR"] ?? join(root, "target");

/** Width of the pictures, in pixels. */
const WIDE = 700;

/**
 * How far two colours may be apart, of 255, once pixels are the mean of three by three and each is compared with
 * the nearest in shade of its neighbours in the other picture: an edge that is smoothed otherwise is no difference.
 */
const FAR = 48;

/** Share of pixels that may differ so. */
const MOST = 0.0005;

/** It tells by its exit code whether all was placed, which is not asked here. */
function command(...words: string[]): void {
  try {
    execFileSync(join(target, "debug/heartside"), words, { stdio: "ignore" });
  } catch (error) {
    expect((error as { status: number }).status).toBe(1);
  }
}

/** Share of pixels in which Chromium's picture differs from librsvg's. */
async function difference(page: Page, svg: string, png: string): Promise<number> {
  return page.evaluate(
    async ({ svg, png, far }) => {
      /** Height of the picture by its width; the height in whole pixels is a little more. */
      const [, , across = 1, down = 1] = (/viewBox="([^"]*)"/.exec(svg)?.[1] ?? "").split(/[ ,]+/).map(Number);
      const tall = down / across;
      const smoothed = (of: Uint8ClampedArray, width: number, height: number): Uint8ClampedArray => {
        const means = new Uint8ClampedArray(of);
        for (let y = 1; y < height - 1; y += 1) {
          for (let i = 4 * (y * width + 1); i < 4 * (y * width + width - 1); i += 1) {
            let sum = 0;
            for (const row of [-4 * width, 0, 4 * width]) sum += (of[i + row - 4] ?? 0) + (of[i + row] ?? 0) + (of[i + row + 4] ?? 0);
            means[i] = sum / 9;
          }
        }
        return means;
      };
      const drawn = async (source: string, width: number, height: number) => {
        const image = new Image();
        image.src = source;
        await image.decode();
        const canvas = document.createElement("canvas");
        canvas.width = width === 0 ? image.width : width;
        canvas.height = height === 0 ? image.height : height;
        const pen = canvas.getContext("2d");
        if (pen === null) throw new Error("no canvas");
        pen.fillStyle = "white";
        pen.fillRect(0, 0, canvas.width, canvas.height);
        pen.drawImage(image, 0, 0, canvas.width, width === 0 ? canvas.height : canvas.width * tall);
        const { data } = pen.getImageData(0, 0, canvas.width, canvas.height);
        return { width: canvas.width, height: canvas.height, data: smoothed(data, canvas.width, canvas.height) };
      };
      const theirs = await drawn(`data:image/png;base64,${png}`, 0, 0);
      const { width, height } = theirs;
      const ours = await drawn(URL.createObjectURL(new Blob([svg], { type: "image/svg+xml" })), width, height);
      const apart = (a: Uint8ClampedArray, i: number, b: Uint8ClampedArray, j: number): number => {
        let most = 0;
        for (let k = 0; k < 3; k += 1) most = Math.max(most, Math.abs((a[i + k] ?? 0) - (b[j + k] ?? 0)));
        return most;
      };
      /** The least that this pixel differs from the like one and its neighbours in the other picture. */
      const least = (a: Uint8ClampedArray, b: Uint8ClampedArray, x: number, y: number): number => {
        let found = 255;
        for (let dy = -1; dy <= 1; dy += 1) {
          for (let dx = -1; dx <= 1; dx += 1) {
            found = Math.min(found, apart(a, 4 * (y * width + x), b, 4 * ((y + dy) * width + x + dx)));
          }
        }
        return found;
      };
      let differ = 0;
      for (let y = 1; y < height - 1; y += 1) {
        for (let x = 1; x < width - 1; x += 1) {
          const i = 4 * (y * width + x);
          if (apart(ours.data, i, theirs.data, i) <= far) continue;
          if (least(ours.data, theirs.data, x, y) > far || least(theirs.data, ours.data, x, y) > far) differ += 1;
        }
      }
      return differ / (width * height);
    },
    { svg, png, far: FAR },
  );
}

test("librsvg and Chromium draw the pictures of every fixture alike", async ({ page }) => {
  test.setTimeout(300_000);
  // With an example, or other features of some crates are wanted and all of them are compiled again.
  execFileSync("cargo", ["build", "--quiet", "--workspace", "--bins", "--example", "trace"], { cwd: root, stdio: "inherit" });
  const folder = mkdtempSync(join(tmpdir(), "heartside-pictures-"));
  const fixtures = readdirSync(join(root, "fixtures")).filter((name) => name.endsWith(".heartside.json"));
  expect(fixtures.length).toBeGreaterThan(3);
  let [worst, sum, count] = [0, 0, 0];
  for (const name of fixtures) {
    const [planned, out] = [join(folder, name), join(folder, `${name}-out`)];
    command("set-out", join(root, "fixtures", name), "--output", planned, "--steps", "200");
    command("sheets", join(planned, "plan.heartside.json"), "--output", out, "--only", "svg", "pages");
    const pictures = readdirSync(out).sort();
    expect(pictures.length, name).toBeGreaterThan(2);
    for (const picture of pictures) {
      const svg = readFileSync(join(out, picture), "utf8");
      const png = execFileSync("rsvg-convert", ["-w", String(WIDE), "-b", "white", join(out, picture)], { maxBuffer: 2 ** 26 });
      const differs = await difference(page, svg, png.toString("base64"));
      expect.soft(differs, `${name}: ${picture}`).toBeLessThan(MOST);
      // What is looked for would be seen: without its words the picture is another.
      if (picture === "all-boards.svg") {
        const bare = svg.replace(/<text[ >][^]*?<\/text>/g, "");
        expect(await difference(page, bare, png.toString("base64")), `${name}, without words`).toBeGreaterThan(MOST);
      }
      [worst, sum, count] = [Math.max(worst, differs), sum + differs, count + 1];
    }
  }
  const share = (part: number): string => `${(100 * part).toFixed(3)} %`;
  console.log(`${count} pictures: ${share(sum / count)} of pixels differ, ${share(worst)} in the worst`);
  rmSync(folder, { recursive: true });
});
