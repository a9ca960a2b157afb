// What is said before the page runs, and by its workers: apart from the others, so that the small
// scripts that start carry no more than this.

export const startTrouble = "The page could not start";
export const opening = "Opening…";
export const scriptRefused = "The browser does not let the page's own script run.";
export const workerOfAnother = "This worker belongs to another version of the page.";
