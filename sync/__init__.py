"""Whatever leaves or enters the device: papers, signatures, and later the exchange between devices."""
