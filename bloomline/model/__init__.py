"""Plain data of a yard: frozen, validated documents and pure edits on them."""
