// What is known of the figure of the wood: shown over it, and what each sign says.

export const figureShown = {
  shown: "Strokes run with the figure. Dashed: sapwood. + and −: your marks.",
  what: "What is seen of the figure, and how",
  sources:
    "Strokes run with the figure and are longer where it is stronger: which way its edges run within 20 mm (structure tensor, Bigun and Granlund 1987), how much light and dark differ within a hand’s breadth (Peli 1990). " +
    "The dashed line is where sapwood begins, by its colour against the heartwood’s (CIELAB). Lightness is the photo itself, the fall-off of the light taken out (robust fit, Beaton and Tukey 1974). " +
    "Plus and minus are figure that you marked as wanted and as unwanted.",
  hidden: "The figure is no longer drawn",
  unknown: "Nothing is known of any figure yet: take in a photo of a board, or mark an area as figure",
} as const;
