// What tabs that may have the same job open tell each other.

/** It was opened here; this tab keeps it; this tab keeps it from now on; this tab keeps it no longer. */
export type Word = "opened" | "mine" | "taking" | "gone";

interface Note {
  readonly say: Word;
  readonly job: string;
  readonly tab: string;
}

export interface Tabs {
  say(word: Word, job: string): void;
}

/** Null where the browser has no means: a second tab is then noticed at its first write, by the stamp. */
export function openTabs(tab: string, hear: (word: Word, job: string, from: string) => void): Tabs | null {
  let channel: BroadcastChannel;
  try {
    channel = new BroadcastChannel("heartside");
  } catch {
    return null;
  }
  channel.onmessage = ({ data }: MessageEvent<Note>) => {
    if (data.tab !== tab) hear(data.say, data.job, data.tab);
  };
  return { say: (word, job) => channel.postMessage({ say: word, job, tab } satisfies Note) };
}
