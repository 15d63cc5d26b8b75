"""A lesson as one HTML file that needs nothing else: text, pictures, room to type, and labs alive without a kernel."""
