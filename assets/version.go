package assets

// Version is the program's, as printed on every page; FyneApp.toml says the
// same.
const Version = "0.1.0"
