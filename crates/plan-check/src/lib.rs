//! A plan in; violations out. Never sees the planner.
