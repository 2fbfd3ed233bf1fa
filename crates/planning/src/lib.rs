//! A model in; a plan and pledges out.
