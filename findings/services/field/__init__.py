"""Operations of the walk that are more than one record's fields."""
