"""Files of the app: shows on the shelf, pictures and scripts that a browser keeps."""
