// Keeping a job by itself, on a shelf of the test's own.

import { expect, test } from "@playwright/test";

import { makeKeeper } from "../../web/src/state/keeping";
import type { KeptJob, Shelf } from "../../web/src/state/shelf";

function makeShelf(): Shelf & { jobs: Map<string, KeptJob>; broken: boolean } {
  const jobs = new Map<string, KeptJob>();
  const shelf = {
    jobs,
    broken: false,
    newest: async () => [...jobs.values()][0],
    read: async (id: string) => jobs.get(id),
    list: async () => [...jobs.values()],
    forget: async (id: string) => void jobs.delete(id),
    async write(job: Omit<KeptJob, "stamp">, seen: number) {
      if (shelf.broken) throw new DOMException("no room", "QuotaExceededError");
      const theirs = jobs.get(job.id);
      if (theirs !== undefined && theirs.stamp !== seen) return { kind: "clash" as const, theirs };
      jobs.set(job.id, { ...job, stamp: seen + 1 });
      return { kind: "written" as const, stamp: seen + 1 };
    },
  };
  return shelf;
}

function tab(shelf: Shelf, first: string) {
  let content = first;
  const keeper = makeKeeper(shelf, { text: () => content, title: () => "Desk" }, () => 1);
  return {
    keeper,
    type(next: string) {
      content = next;
      keeper.changed();
    },
  };
}

test("what is typed is kept and said to be kept", async () => {
  const shelf = makeShelf();
  const one = tab(shelf, "a");
  await one.keeper.begin("job", 0);
  one.type("b");
  expect(one.keeper.status.value.kind).toBe("keeping");
  await one.keeper.flush();
  expect(one.keeper.status.value.kind).toBe("kept");
  expect(shelf.jobs.get("job")?.text).toBe("b");
});

test("a tab never writes over what it has not seen", async () => {
  const shelf = makeShelf();
  const one = tab(shelf, "a");
  await one.keeper.begin("other-job", 0);
  one.type("mine");
  await one.keeper.flush();
  shelf.jobs.set("other-job", { id: "other-job", title: "", text: "theirs", stamp: 9, writer: "x", at: 2 });
  one.type("mine again");
  await one.keeper.flush();
  expect(one.keeper.status.value.kind).toBe("clash");
  expect(shelf.jobs.get("other-job")?.text).toBe("theirs");
  await one.keeper.takeOver(9);
  expect(shelf.jobs.get("other-job")?.text).toBe("mine again");
  expect(one.keeper.status.value.kind).toBe("kept");
});

test("a second tab with the same job is told that the first keeps it", async () => {
  const shelf = makeShelf();
  const one = tab(shelf, "a");
  await one.keeper.begin("shared", 0);
  one.type("first");
  await one.keeper.flush();
  const two = tab(shelf, "first");
  await two.keeper.begin("shared", 1);
  expect(two.keeper.status.value.kind).toBe("reader");
  two.type("second");
  await two.keeper.flush();
  expect(shelf.jobs.get("shared")?.text).toBe("first");
  await two.keeper.takeOver(1);
  expect(shelf.jobs.get("shared")?.text).toBe("second");
  await expect.poll(() => one.keeper.status.value.kind).toBe("reader");
});

test("an answer that comes late counts until this tab has kept something itself", async () => {
  const shelf = makeShelf();
  const busy = new BroadcastChannel("heartside");
  const answer = () => busy.postMessage({ say: "mine", job: "late", tab: "busy" });
  const one = tab(shelf, "a");
  await one.keeper.begin("late", 1);
  expect(one.keeper.status.value.kind).toBe("kept");
  answer();
  await expect.poll(() => one.keeper.status.value.kind).toBe("reader");
  await one.keeper.takeOver(1);
  answer();
  await new Promise((done) => setTimeout(done, 50));
  expect(one.keeper.status.value.kind).toBe("kept");
  busy.close();
});

test("of two tabs opened at the same time one keeps the job", async () => {
  const shelf = makeShelf();
  const both = [tab(shelf, "a"), tab(shelf, "a")];
  await Promise.all(both.map((each) => each.keeper.begin("restored", 1)));
  expect(both.map((each) => each.keeper.status.value.kind).sort()).toEqual(["kept", "reader"]);
});

test("storage that fails is said plainly, and keeping goes on once it works again", async () => {
  const shelf = makeShelf();
  const one = tab(shelf, "a");
  await one.keeper.begin("full", 0);
  shelf.broken = true;
  one.type("b");
  await one.keeper.flush();
  expect(one.keeper.status.value).toMatchObject({ kind: "off", reason: expect.stringContaining("Quota") });
  shelf.broken = false;
  one.type("c");
  await one.keeper.flush();
  expect(one.keeper.status.value.kind).toBe("kept");
  expect(shelf.jobs.get("full")?.text).toBe("c");
});
