"""Everything a person looks at: pictures, tables and findings of a cycle."""
