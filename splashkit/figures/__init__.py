"""Figures: state in, SVG or image out. Import the one you need by name; nothing is loaded here."""
