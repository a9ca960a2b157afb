import { existsSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";

const file = join(__dirname, "../../web/dist/heartside.html");
if (!existsSync(file)) {
  throw new Error("web/dist/heartside.html is not there: build it with `cargo xtask page`");
}

/** Address of the built page on disk. */
export const pageAddress: string = pathToFileURL(file).href;
