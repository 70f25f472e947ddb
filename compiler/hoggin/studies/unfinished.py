"""What a study that was interrupted says of a case that it has not computed."""

NOT_COMPUTED = "not computed: the study was interrupted"
