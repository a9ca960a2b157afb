// Counts and lists in words. Whatever depends on a language's grammar stands here.

const LANGUAGE = "en-GB";

const rules = new Intl.PluralRules(LANGUAGE);
const lists = new Intl.ListFormat(LANGUAGE);

/** What is said of one and of other numbers; `#` stands for the number. A language with more kinds of plural adds them here. */
export type Forms = Readonly<Partial<Record<Intl.LDMLPluralRule, string>>> & { readonly other: string };

/** "1 thing to mend" or "3 things to mend". */
export function counted(count: number, forms: Forms): string {
  return (forms[rules.select(count)] ?? forms.other).replaceAll("#", String(count));
}

/** "A", "A and B", "A, B and C". */
export const listed = (items: readonly string[]): string => lists.format(items);
