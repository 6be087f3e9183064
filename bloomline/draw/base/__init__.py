"""What do all pictures share: ink, colours, marks, names, whole files, Qt made ready?"""
