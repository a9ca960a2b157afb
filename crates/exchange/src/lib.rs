//! Files of other forms in and out: published instances, tables, lists.
