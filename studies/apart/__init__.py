"""How often the *apart* rule speaks: of equal mixes, and of mixes that differ."""
