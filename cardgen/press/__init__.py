"""Cards to paper and screen: layout, painting, page twin, plain text, data and the QR symbol."""
