// Hands the joined parts down to every element of the page.

import { createContext } from "preact";
import { useContext } from "preact/hooks";

import type { App } from "../state/app";

export const AppContext = createContext<App | null>(null);

/** The app that main.ts joined. */
export function useApp(): App {
  const app = useContext(AppContext);
  if (app === null) throw new Error("a view was shown outside the app");
  return app;
}
