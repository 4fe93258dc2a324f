"""Things to print: pages as PDF, with fonts inside, the same to the byte whenever they are made from the same facts."""
