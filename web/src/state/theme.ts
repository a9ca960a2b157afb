// Light paper or dark slate: the machine's wish until the person chooses.

import { computed, signal } from "@preact/signals";

import type { Theme } from "./app";

export interface ThemeParts {
  readonly prefersDark: MediaQueryList;
  /** Marks the page's root. */
  readonly apply: (choice: "light" | "dark" | null) => void;
  readonly remember: (choice: "light" | "dark") => void;
}

export function makeTheme(parts: ThemeParts): Theme & { choose(choice: "light" | "dark"): void } {
  const wish = signal(parts.prefersDark.matches);
  const choice = signal<"light" | "dark" | null>(null);
  parts.prefersDark.addEventListener("change", (event) => (wish.value = event.matches));
  const dark = computed(() => (choice.value === null ? wish.value : choice.value === "dark"));
  function choose(next: "light" | "dark"): void {
    choice.value = next;
    parts.apply(next);
  }
  return {
    dark,
    choose,
    toggle() {
      const next = dark.value ? "light" : "dark";
      choose(next);
      parts.remember(next);
    },
  };
}
