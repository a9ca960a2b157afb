import { existsSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";

/** The built page. */
export const pageFile = join(__dirname, "../../web/dist/heartside.html");
if (!existsSync(pageFile)) {
  throw new Error("web/dist/heartside.html is not there: build it with `cargo xtask page`");
}

/** Address of the built page on disk. */
export const pageAddress: string = pathToFileURL(pageFile).href;
