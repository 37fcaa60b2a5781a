"""Operations by topic: adapters that rename inputs, call the engine and rename results; they compute nothing themselves."""
