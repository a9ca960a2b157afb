//! Files of other forms in and out: tables and lists.
