"""The invented shop that the demo shows. Every name, maker and figure in here is made up."""
