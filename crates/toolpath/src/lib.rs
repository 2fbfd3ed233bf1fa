//! Outlines and a process sheet in; paths, time and mass out.
