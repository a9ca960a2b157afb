// What the browser's store holds, read past the page.

import type { Page } from "@playwright/test";

/** The kept jobs, straight from the browser's store: title and number of boards of each. */
export async function keptJobs(page: Page): Promise<{ id: string; title: string; boards: number; stamp: number }[]> {
  return page.evaluate(
    () =>
      new Promise<{ id: string; title: string; boards: number; stamp: number }[]>((done, fail) => {
        const opening = indexedDB.open("heartside");
        opening.onerror = () => fail(opening.error);
        opening.onsuccess = () => {
          const all = opening.result.transaction("jobs").objectStore("jobs").getAll();
          all.onsuccess = () => {
            opening.result.close();
            done(
              (all.result as { id: string; title: string; text: string; stamp: number }[]).map((job) => ({
                id: job.id,
                title: job.title,
                boards: (JSON.parse(job.text) as { boards: unknown[] }).boards.length,
                stamp: job.stamp,
              })),
            );
          };
        };
      }),
  );
}
