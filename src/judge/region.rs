//! The weight region by linear programmes: who can be best, who never, who dominates whom.
