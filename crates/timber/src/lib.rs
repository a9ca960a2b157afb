//! The words of the trade as types: lengths, documents, jobs, plans, findings.
