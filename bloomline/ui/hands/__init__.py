"""What mouse and keys do all over the window: the wheel, undo, typing that is not taken in yet."""
