-- The language server for Neovim 0.11 and later: `vim.lsp.enable("hoggin")`.
return {
  cmd = { "hoggin", "language-server" },
  filetypes = { "hoggin" },
  root_markers = { ".git" },
}
