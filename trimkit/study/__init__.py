"""What people see and touch: figures and labs."""
