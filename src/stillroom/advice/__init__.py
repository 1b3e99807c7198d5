"""Rule packs, the engines that try them on facts, and the advice that comes out."""
