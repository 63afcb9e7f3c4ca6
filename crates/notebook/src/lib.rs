//! What the workbench keeps and prints.
