// The page from a plain http server, which browsers do not call secure, and no connection to
// anybody from there either.

import { createServer, type Server } from "node:http";
import { readFileSync } from "node:fs";
import { networkInterfaces } from "node:os";
import type { AddressInfo } from "node:net";

import { pageFile } from "./page";
import { test as plain } from "@playwright/test";

import { action, boards, expect, goTo, openPage, test } from "./support";

/** The machine's own address on a network; the loop-back ones count as secure. */
function ownAddress(): string | null {
  const all = Object.values(networkInterfaces()).flatMap((each) => each ?? []);
  return all.find((each) => each.family === "IPv4" && !each.internal)?.address ?? null;
}

test.describe("served by plain http", () => {
  let server: Server;
  let address = "";

  test.beforeAll(async () => {
    const content = readFileSync(pageFile);
    server = createServer((asked, answer) => {
      // Servers commonly call every page UTF-8; the mark at its start tells better.
      const isPage = asked.url === "/";
      answer.writeHead(isPage ? 200 : 404, { "content-type": "text/html; charset=utf-8" }).end(isPage ? content : "");
    });
    await new Promise<void>((done) => server.listen(0, "0.0.0.0", done));
    const own = ownAddress();
    address = own === null ? "" : `http://${own}:${(server.address() as AddressInfo).port}/`;
  });
  test.afterAll(() => new Promise((done) => server.close(done)));

  test("it starts, keeps the job and sets out", async ({ page }) => {
    test.skip(address === "", "this machine has no address of its own");
    const asked: string[] = [];
    page.on("request", (request) => {
      if (request.url().startsWith("http") && !request.url().endsWith("/favicon.ico")) asked.push(request.url());
    });
    await page.goto(address);
    expect(await page.evaluate(() => window.isSecureContext)).toBe(false);
    await expect(page.locator("#page")).toHaveAttribute("data-ready", "yes");
    await action(page, "add-board").click();
    await expect(page.locator("[data-keeping=kept]")).toBeVisible();
    await page.reload();
    await expect(boards(page)).toHaveCount(10);
    await goTo(page, "setting_out");
    await action(page, "set-out").click();
    await expect(page.locator(".world [data-part]").first()).toBeVisible({ timeout: 30_000 });
    expect(new Set(asked)).toEqual(new Set([address]));
  });
});

/** Tries every way of talking to others that is not a fetch; the names of those that came through. Runs in the page and in a worker. */
async function waysOut(): Promise<string[]> {
  type Kind = new (of?: unknown) => Record<string, unknown>;
  const named = (name: string): Kind | undefined => (globalThis as unknown as Record<string, Kind | undefined>)[name];
  const wait = (milliseconds: number): Promise<void> => new Promise((done) => setTimeout(done, milliseconds));
  const found: string[] = [];
  for (const name of ["RTCPeerConnection", "webkitRTCPeerConnection"]) {
    const Peer = named(name) as unknown as typeof RTCPeerConnection | undefined;
    if (Peer === undefined) continue;
    try {
      const peer = new Peer();
      // Whoever gathers candidates has asked the network for its addresses.
      peer.onicecandidate = (event) => event.candidate !== null && found.push(name);
      peer.createDataChannel("x");
      await peer.setLocalDescription(await peer.createOffer());
      await wait(1000);
      peer.close();
    } catch {
      // Refused.
    }
  }
  for (const name of ["EventSource", "WebTransport", "WebSocket"]) {
    const Way = named(name);
    if (Way === undefined) continue;
    try {
      const made = new Way(name === "WebSocket" ? "wss://127.0.0.1:9/" : "https://127.0.0.1:9/");
      await Promise.race([made["ready"] as Promise<void> | undefined, wait(300)]);
      if (made["readyState"] === 1 || made["ready"] !== undefined) found.push(name);
    } catch {
      // Refused.
    }
  }
  return found;
}

plain("no peer connection is possible, from the page or a worker", async ({ page }) => {
  await openPage(page);
  expect(await page.evaluate(waysOut), "from the page").toEqual([]);
  const fromWorker = await page.evaluate(
    (code) =>
      new Promise<string[]>((done) => {
        const script = `(${code})().then((found) => postMessage(found), (error) => postMessage([String(error)]))`;
        const worker = new Worker(URL.createObjectURL(new Blob([script], { type: "text/javascript" })));
        worker.onmessage = (event) => done(event.data as string[]);
        worker.onerror = (event) => done([event.message]);
      }),
    waysOut.toString(),
  );
  expect(fromWorker, "from a worker").toEqual([]);
});
