// The shapes of what the core hands to the page, and what it does with values of the wrong form.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { initSync, last_panic, Search, Session } from "../../web/src/protocol/generated.js";

initSync({ module: readFileSync(process.env.HEARTSIDE_CORE) });

const fixture = (name) => readFileSync(new URL(`../../fixtures/${name}.heartside.json`, import.meta.url), "utf8");
const stool = fixture("step-stool");
const desk = fixture("writing-desk");
const view = { place: "setting_out", reset: true, pixels_per_mm: 0.5, selected_parts: [], selected_board: null };

function opened(text) {
  const session = new Session();
  const { accepted, problems } = session.open(text);
  assert.equal(accepted, true, JSON.stringify(problems));
  return session;
}

// Everything that crosses is made of strings, finite numbers, booleans, null, lists and plain records.
function assertPlain(value, path) {
  if (value === null || ["string", "boolean"].includes(typeof value)) return;
  if (typeof value === "number") return assert.ok(Number.isFinite(value), `${path} is ${value}`);
  if (Array.isArray(value)) return value.forEach((item, i) => assertPlain(item, `${path}[${i}]`));
  assert.equal(typeof value, "object", `${path} is a ${typeof value}`);
  assert.equal(Object.getPrototypeOf(value), Object.prototype, `${path} is no plain record`);
  for (const [key, inner] of Object.entries(value)) assertPlain(inner, `${path}.${key}`);
}

function setOut(session, rounds = 20, steps = 200) {
  const start = session.begin_set_out();
  assert.equal(start.ready, true, start.problem);
  const search = new Search(start.document, { seed: 1, worker: 0, workers: 1, way: "as_job" });
  assert.equal(search.problem(), undefined);
  for (let round = 0; round < rounds; round++) {
    const status = search.step(steps);
    assertPlain(status, "status");
    assert.equal(session.offer(search.best(), start.revision).problem, null);
    if (status.finished) break;
  }
  assertPlain(search.figures(), "figures");
  const best = search.best();
  search.free();
  session.end_set_out();
  return best;
}

test("every answer is plain and survives JSON", () => {
  const session = opened(desk);
  setOut(session, 4, 500);
  for (const place of ["timber", "piece", "setting_out", "bench"]) {
    const state = session.state(place, view);
    assertPlain(state, "state");
    assert.deepEqual(JSON.parse(JSON.stringify(state)), state);
    assert.equal(state.place, place);
    for (const row of [...state.boards, ...state.parts, ...state.tools]) {
      const form = session.form(row.thing);
      assertPlain(form, "form");
      assert.notEqual(form.thing, null);
    }
  }
  assertPlain(session.scene(view), "scene");
  assertPlain(session.read_length("1,400"), "length");
  assertPlain(session.sheets("letter", "2026"), "sheets");
  assertPlain(session.svg_all("2026"), "sheet");
  assertPlain(session.compare("", ""), "comparison");
});

test("missing values are null and never undefined", () => {
  const state = new Session().state("timber", null);
  assert.equal(state.plan, null);
  assert.equal(state.undo, null);
  assert.equal(state.selection, null);
});

test("values of the wrong form are answered and do not spoil the session", () => {
  const session = opened(stool);
  const before = session.save();
  for (const wrong of [undefined, null, 5, "board", {}, { kind: "no such" }, { kind: "board", row: -1 }, []]) {
    const outcome = session.set(wrong, "thickness", "20");
    assert.equal(outcome.done, false);
    assert.ok(outcome.problem.length > 0);
    // The word alone is a kind of thing, so it is a right answer to what to add.
    if (wrong !== "board") assert.equal(session.add(wrong, null).done, false);
    assert.equal(session.remove(wrong).done, false);
    assertPlain(session.form(wrong), "form");
    assertPlain(session.state(wrong, wrong), "state");
    assertPlain(session.scene(wrong), "scene");
  }
  assert.equal(session.save(), before);
  assert.equal(last_panic(), undefined);
});

test("a part is carried, dropped and taken back", () => {
  const session = opened(stool);
  setOut(session);
  session.scene(view);
  const plan = session.state("setting_out", view);
  assert.equal(plan.plan.verdict, "checked", JSON.stringify(plan.findings));
  const copy = plan.parts.flatMap((part) => part.copies).find((one) => one.board !== null);
  const saved = session.save();
  const held = session.drag_begin(copy.part.id, copy.part.copy);
  assertPlain(held, "held");
  assert.equal(held.held, true);
  const moved = session.drag(held.x + 5, held.y, held.turn, held.turned_over, true);
  assertPlain(moved, "held");
  assert.match(moved.transform, /^translate\(/);
  // A little beside its place it snaps back, and nothing is to be taken back.
  session.drag_end();
  assert.ok(session.save() === saved, "the part lies where it lay");
  session.drag_begin(copy.part.id, copy.part.copy);
  session.drag(held.x + 5, held.y, held.turn, held.turned_over, false);
  assert.equal(session.drag_end().done, true);
  assert.ok(session.save() !== saved, "it was carried");
  assert.equal(session.undo().done, true);
  assert.ok(session.save() === saved, "it lies there again");
});

test("the same search gives the same plan twice", () => {
  assert.equal(setOut(opened(stool), 3, 300), setOut(opened(stool), 3, 300));
});

test("a search on nonsense says why and goes on living", () => {
  const search = new Search("{", { seed: 1, worker: 0, workers: 1, way: "as_job" });
  assert.ok(search.problem().length > 0);
  assert.equal(search.step(5).finished, true);
  assert.equal(search.best(), undefined);
  assert.equal(search.adopt("{"), false);
  assert.ok(new Search(stool, 5).problem().length > 0);
});
