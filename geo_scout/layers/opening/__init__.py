"""Files become open sources: whichever kind they are, with their encoding, size and digest."""
