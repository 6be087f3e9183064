"""What was seen in the yard: quick entry, the table of records, and what the yard learned."""
