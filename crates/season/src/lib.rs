//! Demand, a region and dice in; service figures out.
