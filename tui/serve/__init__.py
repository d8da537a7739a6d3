"""The same program in a browser: a small server (`server`), and what runs behind each window (`window`)."""
