;;; plica-mode.el --- Colours for Plica designs  -*- lexical-binding: t; -*-

;; Version: 0.1.0
;; Keywords: languages
;; Package-Requires: ((emacs "25.1"))

;;; Commentary:

;; A major mode for Plica, a language for folded and moving paper cards: colours, comments, and indentation by braces.

;;; Code:

(defconst plica-statement-words
  '(
    "card" "envelope" "post" "grid" "view" "paper" "let" "adjust" "variant" "piece" "strap"
    "mat" "glue" "foam" "slide" "brad" "tuck" "pose" "motion" "expect" "step" "mechanism" "use"
    "repeat" "include" "size" "shape" "valley" "mountain" "panels" "panel" "slot" "slit"
    "window" "hole" "tab" "mark" "print")
  "Words that begin a statement.")

(defconst plica-connecting-words
  '(
    "from" "to" "by" "of" "on" "and" "then" "between" "through" "along" "around" "as" "into"
    "off" "at" "hint" "under" "not")
  "Words that join the parts of a statement.")

(defconst plica-ordinary-words
  '(
    "about" "above" "across" "after" "apart" "arc" "back" "before" "behind" "below" "border"
    "bottom" "centre" "centred" "circle" "colour" "corner" "curve" "down" "end" "ends" "first"
    "flat" "folded" "front" "grain" "high" "in" "left" "line" "long" "loose" "mirrored"
    "overlap" "path" "picture" "polygon" "price" "rectangle" "right" "rounded" "sheet" "square"
    "tapered" "thick" "top" "towards" "turned" "upside" "us" "wide")
  "Words with a meaning in their place.")

(defconst plica-units
  '(
    "mm" "cm" "in" "pt" "deg" "gsm" "g" "lb")
  "What is glued to a number.")

(defvar plica-mode-syntax-table
  (let ((table (make-syntax-table)))
    (modify-syntax-entry ?# "<" table)
    (modify-syntax-entry ?\n ">" table)
    (modify-syntax-entry ?\" "\"" table)
    (modify-syntax-entry ?_ "_" table)
    table)
  "Comments begin with # and texts stand in double quotes.")

(defvar plica-font-lock-keywords
  `((,(concat "\\_<[0-9]+\\(?:[ \t]+[0-9]+/[0-9]+\\|/[0-9]+\\|\\.[0-9]+\\)?" (regexp-opt plica-units) "?\\_>")
     . font-lock-constant-face)
    (,(regexp-opt plica-statement-words 'symbols) . font-lock-keyword-face)
    (,(regexp-opt plica-connecting-words 'symbols) . font-lock-builtin-face)
    ("\\_<\\([[:alpha:]_][[:alnum:]_]*\\)(" 1 font-lock-function-name-face)
    (,(regexp-opt plica-ordinary-words 'symbols) . font-lock-type-face)
    ("\\?" . font-lock-warning-face))
  "What is coloured, the first match first.")

(defun plica-indent-line ()
  "Indent the line by two columns for every brace that is open."
  (interactive)
  (let* ((depth (car (syntax-ppss (line-beginning-position))))
         (closes (save-excursion (back-to-indentation) (looking-at-p "}")))
         (columns (* 2 (max 0 (if closes (1- depth) depth)))))
    (save-excursion (indent-line-to columns))
    (when (< (current-column) columns)
      (back-to-indentation))))

;;;###autoload
(define-derived-mode plica-mode prog-mode "Plica"
  "Major mode for Plica designs."
  (setq-local comment-start "# ")
  (setq-local comment-start-skip "#+[ \t]*")
  (setq-local indent-line-function #'plica-indent-line)
  (setq-local indent-tabs-mode nil)
  (setq-local font-lock-defaults '(plica-font-lock-keywords)))

;;;###autoload
(add-to-list 'auto-mode-alist '("\\.plica\\'" . plica-mode))

(provide 'plica-mode)
;;; plica-mode.el ends here
