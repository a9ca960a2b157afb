//! Order of cuts, handling, cautions, and the lists of cuts, parts and offcuts.
