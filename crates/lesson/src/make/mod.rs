//! Makes layouts: choices become the text of a job, one file a kind of layout.
