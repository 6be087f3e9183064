"""What is a kind that the catalogue lacks, by its class and by what its packet says?"""
