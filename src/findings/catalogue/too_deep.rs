use super::*;

/// Names that lead through too many others.
pub struct TooDeep {
    pub place: Span,
}

pub static ENTRY: Entry = Entry {
    name: "too-deep",
    severity: Severity::Error,
    family: Family::Values,
    title: "A value leads through too many others",
    explanation: "This value is worked out from another, that one from a third, and so on through more than two hundred. Give one of them a plain measurement.",
    wrong: r#"card "Kite"
paper board: 200gsm
let a000 = a001
let a001 = a002
let a002 = a003
let a003 = a004
let a004 = a005
let a005 = a006
let a006 = a007
let a007 = a008
let a008 = a009
let a009 = a010
let a010 = a011
let a011 = a012
let a012 = a013
let a013 = a014
let a014 = a015
let a015 = a016
let a016 = a017
let a017 = a018
let a018 = a019
let a019 = a020
let a020 = a021
let a021 = a022
let a022 = a023
let a023 = a024
let a024 = a025
let a025 = a026
let a026 = a027
let a027 = a028
let a028 = a029
let a029 = a030
let a030 = a031
let a031 = a032
let a032 = a033
let a033 = a034
let a034 = a035
let a035 = a036
let a036 = a037
let a037 = a038
let a038 = a039
let a039 = a040
let a040 = a041
let a041 = a042
let a042 = a043
let a043 = a044
let a044 = a045
let a045 = a046
let a046 = a047
let a047 = a048
let a048 = a049
let a049 = a050
let a050 = a051
let a051 = a052
let a052 = a053
let a053 = a054
let a054 = a055
let a055 = a056
let a056 = a057
let a057 = a058
let a058 = a059
let a059 = a060
let a060 = a061
let a061 = a062
let a062 = a063
let a063 = a064
let a064 = a065
let a065 = a066
let a066 = a067
let a067 = a068
let a068 = a069
let a069 = a070
let a070 = a071
let a071 = a072
let a072 = a073
let a073 = a074
let a074 = a075
let a075 = a076
let a076 = a077
let a077 = a078
let a078 = a079
let a079 = a080
let a080 = a081
let a081 = a082
let a082 = a083
let a083 = a084
let a084 = a085
let a085 = a086
let a086 = a087
let a087 = a088
let a088 = a089
let a089 = a090
let a090 = a091
let a091 = a092
let a092 = a093
let a093 = a094
let a094 = a095
let a095 = a096
let a096 = a097
let a097 = a098
let a098 = a099
let a099 = a100
let a100 = a101
let a101 = a102
let a102 = a103
let a103 = a104
let a104 = a105
let a105 = a106
let a106 = a107
let a107 = a108
let a108 = a109
let a109 = a110
let a110 = a111
let a111 = a112
let a112 = a113
let a113 = a114
let a114 = a115
let a115 = a116
let a116 = a117
let a117 = a118
let a118 = a119
let a119 = a120
let a120 = a121
let a121 = a122
let a122 = a123
let a123 = a124
let a124 = a125
let a125 = a126
let a126 = a127
let a127 = a128
let a128 = a129
let a129 = a130
let a130 = a131
let a131 = a132
let a132 = a133
let a133 = a134
let a134 = a135
let a135 = a136
let a136 = a137
let a137 = a138
let a138 = a139
let a139 = a140
let a140 = a141
let a141 = a142
let a142 = a143
let a143 = a144
let a144 = a145
let a145 = a146
let a146 = a147
let a147 = a148
let a148 = a149
let a149 = a150
let a150 = a151
let a151 = a152
let a152 = a153
let a153 = a154
let a154 = a155
let a155 = a156
let a156 = a157
let a157 = a158
let a158 = a159
let a159 = a160
let a160 = a161
let a161 = a162
let a162 = a163
let a163 = a164
let a164 = a165
let a165 = a166
let a166 = a167
let a167 = a168
let a168 = a169
let a169 = a170
let a170 = a171
let a171 = a172
let a172 = a173
let a173 = a174
let a174 = a175
let a175 = a176
let a176 = a177
let a177 = a178
let a178 = a179
let a179 = a180
let a180 = a181
let a181 = a182
let a182 = a183
let a183 = a184
let a184 = a185
let a185 = a186
let a186 = a187
let a187 = a188
let a188 = a189
let a189 = a190
let a190 = a191
let a191 = a192
let a192 = a193
let a193 = a194
let a194 = a195
let a195 = a196
let a196 = a197
let a197 = a198
let a198 = a199
let a199 = a200
let a200 = a201
let a201 = a202
let a202 = a203
let a203 = a204
let a204 = a205
let a205 = a206
let a206 = a207
let a207 = a208
let a208 = a209
let a209 = a210
let a210 = a211
let a211 = a212
let a212 = a213
let a213 = a214
let a214 = a215
let a215 = a216
let a216 = a217
let a217 = a218
let a218 = a219
let a219 = a220
let a220 = a221
let a221 = a222
let a222 = a223
let a223 = a224
let a224 = a225
let a225 = a226
let a226 = a227
let a227 = a228
let a228 = a229
let a229 = a230
let a230 = 60mm
piece kite of board { size a000 by 80mm }
"#,
    right: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm by 80mm
}
"#,
};

impl Fault for TooDeep {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        Telling::new(self.place, "this value leads through more than two hundred others")
            .label("the chain passes here")
            .help("give one of the values in the chain a plain measurement")
    }
}
