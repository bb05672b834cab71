"""The fault harness: phones against a server, with everything going wrong."""
