// How much of the floor is not picture, in pixels.

/** The ruler along the top. */
export const RULER_HEIGHT = 34;
/** The strip at the foot, where messages stand and how close one looks is chosen. */
export const FOOT_HEIGHT = 52;
