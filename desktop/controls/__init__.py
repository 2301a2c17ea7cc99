"""The control kit: one crafted control for each kind of answer, and the fixed parts of the window."""
