"""PostgreSQL and Valkey from wheels: started, stopped and described under var/."""
