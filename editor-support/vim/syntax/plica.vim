" Vim syntax file
" Language: Plica, a language for folded and moving paper cards

if exists("b:current_syntax")
  finish
endif

syn case match

syn keyword plicaStatement card envelope post grid view paper let adjust variant piece strap mat
syn keyword plicaStatement glue foam slide brad tuck pose motion expect step mechanism use repeat
syn keyword plicaStatement include size shape valley mountain panels panel slot slit window hole tab
syn keyword plicaStatement mark print
syn keyword plicaConnecting from to by of on and then between through along around as into off at
syn keyword plicaConnecting hint under not
syn keyword plicaWord about above across after apart arc back before behind below border bottom
syn keyword plicaWord centre centred circle colour corner curve down end ends first flat folded
syn keyword plicaWord front grain high in left line long loose mirrored overlap path picture polygon
syn keyword plicaWord price rectangle right rounded sheet square tapered thick top towards turned
syn keyword plicaWord upside us wide

syn match plicaNumber /\<\d\+\%(\s\+\d\+\/\d\+\|\/\d\+\|\.\d\+\)\?\%(\%(mm\|cm\|in\|pt\|deg\|gsm\|g\|lb\)\>\%(\s\+\%(bond\|writing\|text\|book\|cover\|bristol\|index\|tag\)\>\)\?\)\?/
syn match plicaCall /\<\h\w*\ze(/
syn match plicaBlank /?/
syn match plicaOperator /<=\|>=\|!=\|[-+*\/=<>]/
syn region plicaText start=/"/ end=/"/ oneline
syn match plicaComment /#.*$/ contains=@Spell

hi def link plicaStatement Statement
hi def link plicaConnecting Keyword
hi def link plicaWord Identifier
hi def link plicaNumber Number
hi def link plicaCall Function
hi def link plicaBlank Todo
hi def link plicaOperator Operator
hi def link plicaText String
hi def link plicaComment Comment

let b:current_syntax = "plica"
