//! Materials, process sheets and printer classes: data files and their reader.
