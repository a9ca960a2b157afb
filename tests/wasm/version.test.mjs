// The core outside any browser. `cargo xtask test --only node` builds it and names its file.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { initSync, version } from "../../web/src/protocol/generated.js";

initSync({ module: readFileSync(process.env.HEARTSIDE_CORE) });

test("the core tells its version", () => {
  assert.match(version(), /^\d+\.\d+\.\d+$/);
});
