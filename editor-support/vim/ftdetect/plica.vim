autocmd BufRead,BufNewFile *.plica setfiletype plica
