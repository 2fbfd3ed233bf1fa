//! A mesh, a process sheet and printers in; findings out.
