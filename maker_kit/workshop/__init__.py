"""The maker's folder of tables, read and checked as a whole."""
