"""The patterns a word or a set phrase of an instruction is recognised by, in order of trial.

Each is a terminal of rounds.lark with a regular expression over lower-case text; NOTE is read
and forgotten. Where two could match, the first wins, so longer phrases stand before their
parts. Names of stitches and groups are filled in by the lexer for each vocabulary.
"""

from __future__ import annotations

from .vocabulary import NUMBER, ORDINAL

_ROUND = r"(?:rounds?|rnds?|rows?|rds?|circles?)"
_SP = r"(?:sps?|spaces?|loops?|lps?|arch(?:es)?)"
_RING = r"(?:ring|circle|loop)"
_NOT_STEP = r"[^.;,*()\[\]{}]"
_COLOURS = (
    r"(?:black|white|cream|ecru|red|blue|green|yellow|pink|purple|grey|gray|brown|orange|navy|natural|"
    r"beige|lilac|turquoise)"
)
_BEFORE = r"(?:previous|prev|last|preceding)"
_CHAINS = r"(?:ch(?:ain)?s?[\s-]*\d+|\d+[\s-]*ch(?:ain)?s?)(?:[\s-]*(?:sps?|spaces?))?"
STITCHES = "<stitches>"
GROUPS = "<groups>"

_CHANGE = r"(?:inc(?:rs?|s|reas(?:e|es|ed|ing))?|dec(?:rs?|s|reas(?:e|es|ed|ing))?)(?![a-z])\.?"
_COUNTED = rf"(?:\s*(?:sts?|stitch(?:es)?|times|{STITCHES})(?![a-z]))?"
_EVENLY = (
    rf"\b(?:(?:with|making|make|work(?:ing)?)\s+)?(?:evenly\s+(?:spaced\s+)?(?P<w1>{_CHANGE})\s+(?:by\s+)?"
    rf"(?P<n1>{NUMBER})\b{_COUNTED}"
    rf"|(?P<w2>{_CHANGE})\s+evenly\s+(?:by\s+)?(?P<n2>{NUMBER})\b{_COUNTED}"
    rf"|(?P<w6>{_CHANGE})\s+(?:evenly\s+)?(?:around\s+)?to\s+(?P<to>\d+)\b"
    rf"|(?P<w3>{_CHANGE})\s+(?:by\s+)?(?P<n3>{NUMBER})\b{_COUNTED}\s+(?:more\s+)?evenly"
    rf"|(?P<n4>{NUMBER})\s+(?P<w4>{_CHANGE})\s+evenly|(?P<n5>{NUMBER})\s+evenly\s+spaced\s+(?P<w5>{_CHANGE}))"
    rf"(?:[\s-]+(?:spaced|spread|distributed|placed))?"
    rf"(?:\s+(?:all\s+)?(?:a?round|across|throughout|to\s+end|(?:over|in|on|along)(?=\s+(?:the\s+|this\s+)?{_ROUND}\b))"
    rf"(?:\s+(?:the\s+|this\s+)?{_ROUND})?\b)?"
)
"""So many increases or decreases spread over the round."""

_PLACES = rf"(?:sts?|stitch(?:es)?|places?|{STITCHES}s?)(?![a-z])"
_LEAVE = (
    rf"leav(?:e|ing)\s+(?:the\s+)?(?:(?:rest|remainder|others?)\b(?:\s+of\s+(?:the\s+)?(?:{_ROUND}|{_PLACES}))?"
    rf"|rem(?:aining|\b\.?)(?:\s+(?P<n>{NUMBER}))?(?!\s+loops?\b)(?:\s+{_PLACES})?"
    rf"|(?:last|final)(?:\s+(?P<n2>{NUMBER}))?(?:\s+{_PLACES})?(?=\s+(?:unworked|free)\b))"
    rf"{_NOT_STEP}{{0,60}}"
)
"""Places said to be left unworked, and how many."""
_BEGUN = (
    r"\((?=[^()]*\b(?:count|stand|beg|first\b|1st\b|made\b))"  # a bare one is worked
    r"\s*(?:(?:counts?|stands?|counting)\s+(?:as|for)\s+(?:(?:the|an?|1)\s+)*)?"
    rf"(?:(?:beg\w*|first|1st)\b\.?\s+)?(?P<tog>{STITCHES})[\s-]*(?P<legs>\d+)[\s-]*tog(?:ether)?"
    r"(?:\s+(?:is\s+)?made)?\s*\)"
)
"""The decrease that the opening chain and what follows it are."""
_LAST_REPEAT = r"(?:(?:the\s+)?(?:last|final)\s+(?:rep(?:eat|etition)?\b\.?|time)\s+)?"
_OMIT = (
    rf"(?:and\s+)?omit(?:ting)?\s+(?:the\s+)?(?:last|final)\s+(?P<omit>{STITCHES})(?![a-z])"
    r"(?:\s+(?:of|on|in|at|from)\s+(?:the\s+)?(?:last|final)\s+rep\w*)?"
)
_INSTEAD = (
    rf"(?:and\s+)?end(?:ing)?\s+{_LAST_REPEAT}(?:with|in)\s+(?:an?\s+)?"
    r"(?:join\w*|sl\s*-?\s*st|slip\s*-?\s*st(?:itch)?|ss)\b[^.;,*()\[\]]{0,60}?\b(?:instead|in\s+place)\s+of\s+"
    rf"(?:an?\s+|the\s+)?(?:last\s+|final\s+)?(?P<omit>{STITCHES})(?![a-z])"
)
"""The stitch that the last repeat does not work, for the round is joined there."""
_LAST_TIME = (
    rf"(?:and\s+)?end(?:ing)?\s+{_LAST_REPEAT}(?:with|by|in)\b|(?:and\s+)?ending\b(?!\s+at\b)"
    rf"|\bend\s+(?={NUMBER}\s+(?:{STITCHES})|(?:{STITCHES}|{GROUPS}|ch|sk|skip|miss)(?![a-z]))"
)
"""What stands after a repeat ends it: a repeat leaves room for what comes behind."""

PHRASES: tuple[tuple[str, str], ...] = (
    ("EVENLY", _EVENLY),
    (
        "STITCH",  # "work in sc, decreasing 4 sts evenly"
        rf"(?:work(?:ing|ed)?|continue)\s+in\s+(?P<stitch>{STITCHES})(?![a-z])"
        rf"(?=\s*,?\s*(?:and\s+)?(?:a?round\s*,?\s*)?{_CHANGE})",
    ),
    ("BEGUN", _BEGUN),
    ("LEAVE", _LEAVE),
    ("OMIT", _OMIT),
    ("OMIT", _INSTEAD),
    ("NOTE", _LAST_TIME),
    ("NOTE", r"\s+"),
    ("_SEP", r"[,;.:+!]+|-(?=\s)|/"),
    # remarks that change no count
    (
        "NOTE",
        r"(?:place|move|slip|replace|put|use|remove)\s+(?:(?:a|the|your|up|stitch|st|first|1st)\s+)*"
        rf"markers?\b(?:\s+(?:up|(?:in|on|to|at)\s+{_NOT_STEP}*))?"
        r"|\bpm\b|\bsm\b|mark\s+(?:the\s+)?(?:first|1st|last)\s+(?:st|stitch)\b"
        r"|(?:do\s+not|don't)\s+(?:join|turn|fasten\s+off)(?:\s+or\s+turn)?"
        r"|without\s+(?:joining|turning)|fasten\s+off[^.]*|break\s+(?:the\s+)?yarn|weave\s+in[^.]*"
        r"|cut\s+(?:the\s+)?yarn[^.]*|(?:right|wrong)\s+side\s+facing|\((?:rs|ws)\)"
        rf"|(?:pull|tighten)\b(?!\s+(?:through|up\s+a))(?:{_NOT_STEP})*"
        r"|(?:with|using)\s+(?:an?\s+|the\s+)?(?:size\s+)?[\w./-]+(?:\s*mm)?(?:\s*\([^()]{0,20}\))?\s*hook\b"
        rf"|(?:with|in|using)\s+(?:(?:main|contrast\w*|first|second|third|new)\s+)?(?:colou?r|mc|cc\d?|yarn)"
        r"\b(?:\s+\w\b)?|(?:with|using)\s+[a-h]\b|in\s+[a-h](?=\s*[,;:])|loosely|tightly|evenly"
        rf"|(?:with|using|in)\s+{_COLOURS}\b(?:\s+yarn)?"
        r"|(?:change|switch)\s+(?:to\s+(?:colou?r\s+)?\w+|(?:yarns?|colou?rs?)(?:\s+to\s+\w+)?)"
        r"(?:\s+(?:at|in|on)\s+(?:the\s+)?(?:end|last)\b(?:\s+(?:yo|st|stitch)\b)?)?"
        rf"|(?:standing|chainless|stacked)\s+(?:start(?:ing)?\s+|beg\w*\s+)?(?={STITCHES}(?![a-z]))"
        r"|\(\s*including\b[^()]{0,200}\)|\((?:do\s+not|don't)\s+(?:join|turn)\)"
        r"|(?:re)?join\s+(?:new\s+)?(?:yarn|colou?r(?:\s+\w)?|mc|cc)\b(?:\s+(?:in|to|with)\s+[^.;,*()]*)?"
        r"|work(?:ing|ed)?\s+in\s+(?:an?\s+)?(?:continuous\s+)?(?:spirals?|rounds?)\b"
        r"|leav(?:e|ing)\s+(?:an?\s+)?[^.;,*()\[\]]{0,30}\btails?\b[^.;,*()\[\]]{0,40}"
        r"|leav(?:e|ing)\s+(?:the\s+)?last\s+\d+\b[^.;,*()\[\]]{0,60}"
        r"|(?:now\s+)?work(?:ing)?\s+(?:along|on|across|down|in|into)\s+(?:the\s+)?(?:opposite|other|free)\s+"
        r"(?:sides?|edge|loops)\s+of\s+(?:the\s+)?(?:(?:foundation|starting|beg\w*)\s+)?ch(?:ain)?s?\b"
        r"|\(\s*(?:(?!(?:in|into|over)\b)[\w'-]+\.?\s+){1,3}made\s*\)|\bmade\b|as\s+established|continu(?:e|ing)\s+(?:as\s+before|in\s+(?:a\s+)?spirals?)",
    ),
    # the chains that make a ring, not an opening chain
    (
        "MAKE_RING",
        r"(?:ch(?:ain)?s?\s*-?\s*(?P<ring>\d+)\b|(?:make\s+|work\s+)?(?P<ring2>\d+)\s*ch(?:ain)?s?\b)"
        rf"\s*,?\s*(?:and\s+|then\s+)?(?:join|sl\s*-?\s*st|ss|slip|close)\b"
        rf"(?:[^.;,*()\[\]]{{0,60}}?\b(?:{_RING}|(?:into|in|form)\s+(?:a\s+|the\s+)?round)\b"
        r"|(?=[^.;*()\[\]]{0,60}\btwist)[^.;,*()\[\]]{0,60})"
        r"(?:\s*[,-]?\s*\(?(?:without|(?:being\s+)?(?:careful|taking\s+care)\s+not\s+to|do\s+not|"
        r"making\s+sure\s+not\s+to)\s+\w*twist\w*(?:\s+(?:the\s+)?(?:chain|ch|it|sts?))?\)?)?",
    ),
    # a ring of chains closed into its own foot
    (
        "PICOT",
        rf"ch(?:ain)?\s*-?\s*(?P<picot>\d+)\s*,?\s*(?:and\s+)?(?:sl\s*-?\s*st|slip\s*-?\s*st(?:itch)?|ss|sl)"
        rf"\s+(?:in|into|to)\s+(?:the\s+)?(?:{ORDINAL}\s+ch(?:ain)?\s+from\s+(?:the\s+)?hook\b"
        r"|(?:first|1st)\s+ch(?:ain)?\b(?:\s+made)?|(?:same|last)\s+(?:ch(?:ain)?|st(?:itch)?)\b"
        r"(?!\s+(?:of|to)))",
    ),
    # what is said of a chain
    (
        "SAY",
        r"[,-]?\s*\(\s*(?:(?:=|a|an|is|as|here)\s[^()]{0,200}"
        r"|(?:first|1st|for|made)\s[^()]{0,200}|[^()]{0,200}(?:\bcount|\bstand|\bnot\s+(?:an?|as|the|its)\b|n't\s+count)"
        r"[^()]{0,200}|no\s+st\b[^()]{0,200})\)"
        r"|[,-]?\s*(?:(?:this|which|it)\s+)?(?:counts?\b|counting\b|stands?\b|does\s+not\s+count|"
        r"doesn't\s+count|not\s+counted|not\s+counting)[^,.;*()\[\]]{0,200}"
        r"(?:,?\s*here\s+and\s+(?:throughout|below))?"
        rf"|(?:for|as|=)\s+(?:(?:the|its|an?|one|1)\s+)*(?:(?:first|1st)\s+)?"
        r"(?!ss\b|sl\b|slip\b)"
        rf"(?:{STITCHES})(?![a-z])(?!\s*(?:in|\d))(?:\s*(?:\+|plus\b|and\b|&)\s*{_CHAINS})?"
        rf"|\(\s*(?:1\s*)?(?:{STITCHES})\s*(?:\+|,|plus\b|and\b|&)\s*{_CHAINS}\s*\)"
        r"(?!\s*(?:in|into|x|\d|rep|a?round|to|twice|\*))",
    ),
    (
        "MIDDLE",
        rf"(?:the\s+)?(?:middle|cent(?:er|re))\s+(?:(?:st|stitch|{STITCHES}|ch)\s+)?of\s+"
        rf"(?:the\s+)?(?:next\s+)?(?P<middle>each\s+|every\s+)?(?:{GROUPS}|group)s?",
    ),
    (
        "MIDDLE",
        rf"(?:the\s+)?(?P<nth>2nd|second|3rd|third|4th|fourth)\s+(?:st|stitch|{STITCHES})\s+of\s+"
        rf"(?:the\s+)?(?:next\s+)?(?P<middle>each\s+|every\s+)?(?P<of>{GROUPS})s?(?!\w)",
    ),
    (
        "MIDDLE",
        r"(?:the\s+)?(?:next\s+)?(?:middle|cent(?:er|re))\s+"
        rf"(?:st|stitch|{STITCHES}|ch)(?!\w)",
    ),
    (
        "MOVE",
        r"(?:sl(?:ip)?(?:\s*-?\s*st(?:itch)?(?:es)?)?|ss)\s+(?:(?:over|across|along)\s+)?(?:in)?to\s+(?:the\s+)?"
        r"(?:next\s+|first\s+|1st\s+)?(?:(?:ch(?:ain)?[\s-]*\d*[\s-]*)?(?:sp|space)|"
        r"(?:next\s+|first\s+|1st\s+|ch(?:ain)?[\s-]*\d*[\s-]*)(?:loop|lp|arch))\b",
    ),
    (
        "JOIN",
        r"(?:join(?:ed|ing)?|close)\b(?!\s+(?:yarn|new|in\s+(?:colou?r|a\s+new)))"
        rf"(?:\s+(?:with|to|in|into|by|the|round|rnd|as|at)\b"
        rf"(?:(?!\bturn\b|\band\s+ch\b){_NOT_STEP})*)?"
        r"|(?:sl\s*-?\s*st|slip\s*-?\s*st(?:itch)?|ss|sl)\s+(?:to\s+(?:join|close|finish|end)|join)"
        rf"(?:\s+(?:(?!\bturn\b){_NOT_STEP})*)?"
        r"|(?:sl\s*-?\s*st|slip\s*-?\s*st(?:itch)?|ss|sl)\s+(?:in|into|to|on)\s+(?:the\s+)?"
        r"(?:(?:top|tops)\b|(?:beg\w*|start\w*|initial|opening|join\w*|(?:ch|chain)(?![\s-]*\d*[\s-]*sp)|turning)\b|"
        rf"(?:first|1st|2nd|3rd|4th|second|third|fourth)\s+(?!ch[\s-]*\d*[\s-]*sp)"
        rf"(?:(?:ch|st|stitch|chain|of|{STITCHES})(?!\w)))(?:(?!\bturn\b){_NOT_STEP})*",
    ),
    ("TURN", r"turn(?:\s+(?:the\s+)?work)?\b"),
    # what is left
    (
        "TO_LAST",
        rf"(?:to|until|till|up\s+to|ending\s+at)\s+(?:the\s+)?(?:last|final)(?:\s+(?P<left>{NUMBER}))?"
        rf"(?:\s+(?:sts?|stitch(?:es)?|places?|chs?(?![\s-]*\d)(?!-)|{STITCHES}s?)(?!\w))?"
        rf"(?P<of>\s+(?:(?:{GROUPS})(?:s|es)?|(?:ch(?:ain)?[\s-]*\d*[\s-]*)?{_SP})(?!\w))?"
        r"(?:\s+(?:remain|are\s+left))?"
        rf"|(?:until|till)\s+(?P<left2>{NUMBER})\s+(?:sts?|stitch(?:es)?|{STITCHES})?\s*"
        r"(?:remains?|(?:are|is)\s+left|left)(?:\s+(?:unworked))?",
    ),
    (
        "TIMES",
        rf"(?P<more>another\s+|an\s+additional\s+)?(?P<times>{NUMBER})\s*(?P<more2>more\s+|additional\s+)?"
        r"times?\b(?P<more3>\s+more\b)?(?P<all>\s*,?\s*(?:in\s+(?:all|total)|total|altogether)\b)?",
    ),
    ("TIMES", rf"(?:x|times)\s*(?P<times>{NUMBER})\b(?:\s*times\b)?"),
    (
        "TIMES",
        r"(?P<times>once|twice|thrice)\b(?P<more3>\s+more\b)?"
        r"(?P<all>\s*,?\s*(?:in\s+(?:all|total)|total|altogether)\b)?",
    ),
    ("TIMES", rf"(?P<times>\d+)\s*x(?=\W|$|(?:{STITCHES}|inc|dec)(?![a-z]))"),
    (
        "FROM_STAR",
        r"(?:then\s+)?(?:rep(?:eat)?s?|work|continue)\b\.?\s*(?:(?:from|between|the|steps|"
        r"instructions|pattern|sequence|in)\s+)*(?P<star>\*+)"
        r"(?:\s*(?:to|and|through|until)\s*(?:the\s+)?(?:next\s+|second\s+)?\*+(?!\w)|s\b|'s\b)?",
    ),
    (
        "AGAIN",
        r"(?:then\s+)?(?:rep(?:eat)?(?:ed|ing)?|continue|do(?=\s+(?:this|these|that)\b))\b\.?"
        r"(?:\s+(?:this|these|that|the|all|in|pattern|sequence|steps?|instructions|brackets?|"
        r"parenthes[ei]s|between|from|beginning|stitches|above))*(?!\s*\*)",
    ),
    ("STAR", r"\*+|†+|‡"),
    ("OPEN", r"[(\[{<]"),
    ("CLOSE", r"[)\]}>]"),
    (
        "PICOT_OF",
        r"(?:ch(?:ain)?[\s-]*)?(?P<of>\d+)[\s-]*(?:ch(?:ain)?[\s-]+)?picots?\b"
        r"|picot[\s-]+(?P<of2>\d+)\b",
    ),
    # where
    ("POST", r"(?:around|round|about)\s+(?:the\s+)?(?P<post>front|back)\s+posts?(?:\s+of)?"),
    ("POST", rf"(?P<post>front|back)\s+posts?\b(?:\s+of)?(?!\s*(?:{STITCHES})(?!\w))"),
    (
        "IN",
        r"(?:around|round|about)\s+(?:the\s+)?(?:posts?\s+of\b|(?=(?:next|each|every|same|first|"
        rf"last|following)\b|\d+\s*(?:sts?\b|{STITCHES}(?!\w))|{STITCHES}(?!\w)))",
    ),
    (
        "NOTE",
        r"(?:3rd|third|horizontal)\s+(?:loops?|bars?)(?:\s+only)?(?:\s+of)?\b"
        r"|(?:start|begin)(?:ing)?\s+with\b",
    ),
    (
        "LOOP",
        r"(?:through\s+|thru\s+)?(?P<loop>front|back)\s+(?:loops?|lps?)(?:\s+only)?\b"
        rf"|(?P<loop2>[bf])lo?\b(?!\s*(?:{STITCHES})(?!\w))|(?P<loop3>both)\s+loops\b",
    ),
    ("RING", r"in(?:to)?\s+it\b"),
    (
        "RING",
        rf"(?:(?:make|start|begin|form)\s+)?(?:with\s+)?(?:an?\s+|the\s+)?(?:magic|adjustable|sliding)"
        rf"(?:[\s-]+(?:adjustable|sliding))?[\s-]*{_RING}\b|\bm\.?r\b|{_RING}\b"
        rf"|(?P<hook>{ORDINAL})\s+(?:ch|chain)\s+from\s+(?:the\s+)?hook"
        r"|(?P<one>(?:the\s+)?(?:first|1st)\s+(?:ch|chain)(?![\w-]|\s*\d|\s+sp))",
    ),
    (
        "SPACE",
        rf"(?:ch|chain)[\s-]*(?P<chains>\d+|one|two|three)?[\s-]*{_SP}\b"
        rf"(?:\s+(?:of|between|in)\s+(?:the\s+)?(?P<det>next\s+|each\s+|every\s+)?(?:{GROUPS})s?(?!\w))?"
        r"|(?:sps?|spaces?)\b",
    ),
    ("SPACE", rf"(?P<chains>\d+)(?:-|(?=ch))ch(?:ain)?[\s-]*{_SP}\b"),
    ("SPACE", r"(?:loops|lps?|arch(?:es)?)\b"),
    (
        "NTH",
        rf"(?:every|each)\s+(?P<other>other|alternate|second|2nd)\b|\balternate\b"
        rf"|(?:every|each)\s+(?P<nth>{ORDINAL})",
    ),
    (
        "OTHERS",
        r"(?:(?:all|each|every)\s+(?:of\s+)?)?(?:the\s+)?(?:others\b|other\s+(?=st)|remaining\b"
        r"|rest\b(?:\s+of)?)|(?:which\s+are\s+|that\s+are\s+)?still\s+left\b|left\s+over\b"
        r"|\bleft\b|\bremain(?:s|ing)?\b",
    ),
    (
        "END",
        r"(?:(?:to|till|until|through)\s+)?(?:the\s+)?\bend(?:\s+of\s+(?:the\s+)?"
        + _ROUND
        + r")?\b"
        r"|all\s+(?:the\s+)?way(?:\s+(?:a?round|across))?|all\s+a?round\b"
        rf"|a?round(?:\s+the\s+{_ROUND})?\b(?!\s*\d)|across\b(?!\s+next)|all\s+along\b|throughout\b"
        rf"|(?:for\s+|the\s+)*(?:entire|whole|rest\s+of\s+(?:the\s+)?)\s*{_ROUND}\b"
        rf"|to\s+(?:the\s+)?(?:beg(?:inning)?|start|marker|join)\b",
    ),
    # the foot of the opening chain
    (
        "SAME",
        r"(?:(?:the\s+)?(?:sts?|stitch|place)\s+)?(?:(?:at|as)\s+)?(?:the\s+)?(?:base|foot|bottom)\s+of\s+"
        r"(?:the\s+)?(?:(?:beg\w*|start\w*|turning|first|same|opening|initial)[\s-]+)?"
        r"ch(?:ain)?s?(?:[\s-]*\d+)?\b",
    ),
    # words of place that say no more than the round below
    (
        "NOTE",
        rf"(?:of|from|in)\s+(?:the\s+)?{_BEFORE}\s+{_ROUND}\b|of\s+(?:the\s+)?{_ROUND}\s+below"
        rf"|(?:of|from|in)\s+(?:{_ROUND}|r)\s*\d+\b|of\s+(?:the\s+)?(?:ring|circle)\b"
        rf"|(?:from|of|in)\s+(?:the\s+)?{_ROUND}\b|\bbelow\b"
        rf"|as\s+(?:the\s+)?(?:first|1st|beg\w*)\s+(?:{NUMBER}\s+)?{STITCHES}s?(?![a-z])"
        r"|(?:as|where)\s+(?:(?:the|last|previous|first|you)\s+)*(?:join(?:ing|ed)?|sl\s*-?\s*st|ss|"
        r"slip\s*-?\s*st\w*|ch(?:ain)?|legs?)(?:[\s-]*\d+)?\b",
    ),
    (
        "AND_UNIT",
        r"(?:and|or|&)\s+(?:in\s+)?(?:(?:each|every|all|the)\s+)*"
        rf"(?:ch(?:ain)?[\s-]*(?P<unit>\d+)?[\s-]*{_SP}\b|\d+-?ch(?:ain)?[\s-]*{_SP}\b|(?:sts?|stitch(?:es)?|chs?|sps?|spaces?|"
        rf"{STITCHES})(?=\s*(?:a?round\b|across|to\s+end|all|[.,;)*]|$)))",
    ),
    (
        "GROUP",
        rf"(?P<st>{STITCHES})[\s-]*(?P<of>[2-9])[\s-]*tog(?:ether)?[\s-]+(?P<group>{GROUPS})(?:s|es)?(?!\w)",
    ),
    (
        "TOGETHER",
        rf"(?P<tog>{STITCHES})\s+(?:over\s+)?(?:the\s+)?(?:next\s+)?(?P<legs>\d+|two|three)\s+"
        rf"(?:(?:sts?|stitches|{STITCHES})\s+)?tog(?:ether)?\b",
    ),
    (
        "TOGETHER",
        rf"(?:beg(?:inning)?\b\.?\s+)?(?P<tog>{STITCHES})[\s-]*(?P<legs>\d+)[\s-]*tog(?:ether)?s?\b",
    ),
    (
        "TOGETHER",
        rf"(?:work\s+)?(?:next\s+)?(?P<legs>\d+|two|three)\s*(?P<tog>{STITCHES}|sts?|stitches)"
        r"\s*(?:tog(?:ether)?\b|(?:worked\s+)?as\s+one\b)",
    ),
    (
        "TOGETHER",
        rf"(?:(?P<tog>{STITCHES})\s+)?(?:inv(?:isible)?[\s.-]*)?(?:dec|decreases?|decs|decr)\b",
    ),
    (
        "INCREASE",
        rf"(?P<inc>{STITCHES})(?P<n>[2-9])[\s-]?inc\b|(?P<n2>[2-9])(?P<inc2>{STITCHES})[\s-]?inc\b"
        rf"|inc(?P<n3>[2-9])(?P<inc3>{STITCHES})(?![a-z])",
    ),
    (
        "INCREASE",
        rf"(?:(?P<inc>{STITCHES})[\s-]+)?(?:inc|increases?|increasing|incs|incr)\b",
    ),
    # "shell of 5 dc", "fan (7 dc)"; "group of 3 dc" is only those; legs drawn together
    (
        "NOTE",
        rf"(?:an?\s+)?(?:groups?|sets?)\s+of\s+(?={NUMBER}\s*{STITCHES}(?![a-z]))"
        rf"|(?:an?\s+)?(?:{GROUPS})\s+of\s+(?=\()",
    ),
    (
        "GROUP",
        rf"(?P<group>{GROUPS})(?:s|es)?\s+of\s+(?P<of>{NUMBER})\s*(?P<st>{STITCHES})(?:s|es)?(?![a-z])",
    ),
    (
        "GROUP",
        rf"(?P<group>{GROUPS})(?:s|es)?\s*\(\s*(?:of\s+)?(?P<of>{NUMBER})\s*(?P<st>{STITCHES})(?:s|es)?\s*\)",
    ),
    # a first figure that begins with a chain is one like the others
    (
        "BEGIN",
        rf"(?:beg(?:inn?ing)?|start(?:ing)?|initial)\b\.?[\s-]+(?=(?:{GROUPS})(?:s|es)?(?!\w))",
    ),
    ("GROUP", rf"(?:(?P<of>\d+)[\s-]*(?P<st>{STITCHES})[\s-]+)?(?P<group>{GROUPS})(?:s|es)?(?!\w)"),
    ("STITCH", rf"(?P<stitch>{STITCHES})(?:s|es|'s)?(?![a-z])"),
    ("CH", r"(?:ch|chs|chains?)(?![a-z])[\s-]*"),
    ("SKIP", r"(?:sk|skip|skips|skipping|miss|missing)\b"),
    ("IN", r"(?:in|into|on|over|across|along|through|to|at|for)\b"),
    ("EACH", r"(?:each|every|all|ea|ev)\b"),
    ("SAME", r"(?:same|skipped|missed)\b"),
    (
        "NEXT",
        r"(?:one|st|stitch)\s+after(?:\s+(?:that|it|this))?\b(?=\s*(?:[.,;)*\]}]|$|and\b|then\b))",
    ),
    ("NEXT", r"(?:next|following|foll|nxt)\b"),
    ("FIRST", r"(?:first|1st)\b"),
    ("LAST", r"(?:last|final)\b"),
    ("MORE", r"(?:more|extra|another)\b"),
    (
        "UNIT",
        r"(?:sts?|stitch(?:es)?|places?|tops?|spots?|ones?(?=\s*(?:[.,;)*]|$|and\b|then\b)))\b",
    ),
    ("NUM", rf"{NUMBER}(?:(?<=\d)|\b)"),
    ("_SEP", r"(?:and|then|plus)\b|&"),
    (
        "NOTE",
        r"(?:the|an?|of|now|work(?:ing|ed)?|make|crochet|by|with|only|both|it|your|again|also)\b",
    ),
    ("_SEP", r"-"),
)
